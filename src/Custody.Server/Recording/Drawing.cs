using System.Security.Cryptography;
using Custody.Bats;
using Custody.Server.Private;
using Custody.Transparency;

namespace Custody.Server.Recording;

/// <summary>Draws names of streams (128 random bits) and the numbers of bats that people read aloud. With an idempotency key the same submission
/// draws the same: from the ring's secret, so that nobody can foresee it.</summary>
public sealed class Drawing(KeyRing keys)
{
    // No I, L, O, U: what is read aloud and written down comes back the same.
    const string Letters = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";

    public StreamName Stream(string kind, string? idempotencyKey) => StreamName.Parse($"{kind}/{Crockford.Encode(Bits("stream/" + kind, idempotencyKey))}");

    /// <summary>Seven random characters and their check character (ISO/IEC 7064 MOD 37,36).</summary>
    public string ShortNumber(string? idempotencyKey)
    {
        var text = new string([.. Bits("number", idempotencyKey).Take(7).Select(b => Letters[b & 31])]);
        return text + CheckCharacter.Compute(text);
    }

    byte[] Bits(string purpose, string? idempotencyKey)
    {
        var bits = new byte[16];
        if (idempotencyKey is null) RandomNumberGenerator.Fill(bits);
        else keys.Drawn(idempotencyKey, purpose).CopyTo(bits, 0);
        return bits;
    }
}
