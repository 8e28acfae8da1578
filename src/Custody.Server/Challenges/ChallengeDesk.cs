using System.Security.Cryptography;
using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Private;
using Custody.Server.Recording;
using Custody.Transparency;

namespace Custody.Server.Challenges;

/// <summary>Makes challenges for buyers and takes the answer of whoever speaks for a holder's account. Who that is, the doorway has made sure of: by a
/// holder's secret now, by whatever an account signs in with later.</summary>
public sealed class ChallengeDesk(ChallengeTable table, BatFinder bats, AliasBook aliases, TimeProvider clock)
{
    /// <summary>A challenge and its code, which nobody is told again.</summary>
    public sealed record Made(string Code, HolderChallenge Challenge);

    public async Task<(Made? Done, Refusal? Refused)> Ask(Bat bat, string words, CancellationToken ct)
    {
        if (HolderChallenge.RefuseWords(words) is { } refused) return (null, refused);
        var code = Crockford.Encode(RandomNumberGenerator.GetBytes(16));
        var challenge = HolderChallenge.Ask(code, StreamName.Parse(bat.Id), words, Now);
        return await table.Put(challenge, ct)
            ? (new(code, challenge), null)
            : (null, new("challenge-too-many", "Too many challenges are open for this bat.", "Wait until some have run out: an hour at most."));
    }

    /// <summary>Takes an answer. Of two at once only one counts.</summary>
    /// <param name="who">Whoever answers, already known to be who they say.</param>
    /// <param name="batSaid">The bat they answer for: short number or stream name.</param>
    public async Task<(HolderChallenge? Done, Refusal? Refused)> Answer(PartyId who, string codeSaid, string batSaid, string words, CancellationToken ct)
    {
        if (await bats.Find(batSaid, ct) is not { } bat)
            return (null, new("unknown-bat", "There is no such bat in this ledger.", "Give the short number on its label, or the stream's name."));
        var code = Written(codeSaid);
        var now = Now;
        var asked = await table.Find(code, ct);
        var alias = await aliases.Of(StreamName.Parse(bat.Id), who, ct);
        if (HolderChallenge.Refuse(asked, code, words, bat, alias, now) is { } refused) return (null, refused);
        if (await table.Answer(asked!, now, ct)) return (asked! with { Answered = now }, null);
        // Another answer came between: judged again, this one is a repetition.
        return (null, HolderChallenge.Refuse(await table.Find(code, ct), code, words, bat, alias, now));
    }

    /// <summary>How a challenge stands, for whoever has its code; null when there is none.</summary>
    public Task<HolderChallenge?> Look(string codeSaid, CancellationToken ct) => table.Find(Written(codeSaid), ct);

    public DateTimeOffset Now => DateTimeOffset.FromUnixTimeSeconds(clock.GetUtcNow().ToUnixTimeSeconds());

    // Codes are told by telephone: small letters, hyphens, I, L and O as on a label. What is none fits none.
    static string Written(string code) => Crockford.TryDecode(code, out var bits) ? Crockford.Encode(bits) : "";
}
