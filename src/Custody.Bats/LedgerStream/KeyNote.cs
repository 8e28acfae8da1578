using System.Buffers.Binary;
using System.Diagnostics.CodeAnalysis;
using System.Globalization;

namespace Custody.Bats;

/// <summary>The signed note by which one key hands over to the next: its six lines, a seventh after a compromise, and who signed. Form
/// only; signatures are checked elsewhere.</summary>
/// <param name="Old">Verifier key text of the key that ends.</param>
/// <param name="New">Verifier key text of the key that follows.</param>
/// <param name="Next">SHA-256 of the text of the key after that, 43 base64url characters.</param>
/// <param name="Size">Tree size up to which the old key's checkpoints count.</param>
/// <param name="Root">Root hash at that size, standard base64.</param>
/// <param name="Compromised">The seventh line, "compromised", stands there: a rotation with one signature taken off must not read as one.</param>
/// <param name="Signers">Name and key id of each signature line, in order.</param>
public sealed record KeyNote(
    string Origin, string Old, string New, string Next, long Size, string Root, bool Compromised, IReadOnlyList<(string Name, uint Id)> Signers)
{
    public static bool TryRead(string note, [NotNullWhen(true)] out KeyNote? read)
    {
        read = null;
        // C2SP signed-note: the text ends at the last empty line.
        var at = note.LastIndexOf("\n\n", StringComparison.Ordinal);
        if (at < 0 || !note.EndsWith('\n')) return false;
        var lines = note[..at].Split('\n');
        if (lines.Length is not (6 or 7) || (lines.Length == 7 && lines[6] != "compromised") || !lines[0].EndsWith("/key", StringComparison.Ordinal)) return false;
        if (!KeyText.IsEd25519(lines[1]) || !KeyText.IsEd25519(lines[2]) || !Digests.IsSha256Base64(lines[3]) || !Digests.IsSha256Base64(lines[5])) return false;
        if (!long.TryParse(lines[4], NumberStyles.None, CultureInfo.InvariantCulture, out var size)
            || lines[4] != size.ToString(CultureInfo.InvariantCulture)) return false;
        List<(string, uint)> signers = [];
        foreach (var line in note[(at + 2)..^1].Split('\n'))
        {
            if (Signer(line) is not { } signer) return false;
            signers.Add(signer);
        }
        read = new KeyNote(lines[0][..^4], lines[1], lines[2], Digests.Url(lines[3]), size, lines[5], lines.Length == 7, signers);
        return true;
    }

    public bool IsSignedBy(string key) => Signers.Contains((KeyText.NameOf(key), KeyText.IdOf(key)));

    // Em dash, space, name, space, base64 of four bytes of key id and the signature.
    static (string Name, uint Id)? Signer(string line)
    {
        var words = line.Split(' ');
        if (words is not ["\u2014", var name, var signature] || !KeyText.IsName(name)) return null;
        var bytes = new byte[signature.Length];
        return Convert.TryFromBase64String(signature, bytes, out var length) && length > 4
            ? (name, BinaryPrimitives.ReadUInt32BigEndian(bytes))
            : null;
    }
}
