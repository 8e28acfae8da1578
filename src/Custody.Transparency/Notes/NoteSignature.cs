using System.Buffers.Binary;

namespace Custody.Transparency;

/// <summary>One signature line of a note.</summary>
/// <param name="Name">Name of the key.</param>
/// <param name="KeyId">Its identifier.</param>
/// <param name="Signature">What follows the identifier; its form depends on the key's type.</param>
public sealed record NoteSignature(string Name, uint KeyId, ReadOnlyMemory<byte> Signature)
{
    const string Dash = "\u2014 ";

    /// <summary>The line without its line feed: em dash, name, base64 of identifier and signature.</summary>
    public string Line
    {
        get
        {
            var blob = new byte[4 + Signature.Length];
            BinaryPrimitives.WriteUInt32BigEndian(blob, KeyId);
            Signature.Span.CopyTo(blob.AsSpan(4));
            return $"{Dash}{Name} {Base64Std.Encode(blob)}";
        }
    }

    /// <summary>Reads a line.</summary>
    /// <exception cref="Malformed"><c>note.signature</c>.</exception>
    public static NoteSignature Parse(string line)
    {
        var parts = line.StartsWith(Dash, StringComparison.Ordinal) ? line[Dash.Length..].Split(' ') : [];
        return parts.Length == 2 && KeyNames.IsValid(parts[0]) && Base64Std.TryDecode(parts[1], out var blob) && blob.Length > 4
            ? new NoteSignature(parts[0], BinaryPrimitives.ReadUInt32BigEndian(blob), blob.AsMemory(4))
            : throw new Malformed("note.signature", "A signature line is an em dash, a key name and base64 of identifier and signature.");
    }
}
