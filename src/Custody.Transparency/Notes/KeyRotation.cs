using System.Globalization;

namespace Custody.Transparency;

/// <summary>
/// The note by which a ledger's key is followed by the next, which had been promised by its digest. A rotation is signed by both keys; after
/// a compromise the promised key signs alone, and the text says so, since otherwise a rotation with one signature taken off would read as one.
/// </summary>
/// <param name="Origin">The ledger's name.</param>
/// <param name="Old">Key up to here.</param>
/// <param name="New">Key from here on.</param>
/// <param name="Next">SHA-256 of the vkey text of the key after the new one.</param>
/// <param name="Size">Size of the tree at the change.</param>
/// <param name="Root">Its root.</param>
/// <param name="Compromised">Whether the old key is no longer trusted to sign.</param>
public sealed record KeyRotation(string Origin, VerifierKey Old, VerifierKey New, Hash Next, long Size, Hash Root, bool Compromised = false)
{
    const string Suffix = "/key";
    const string CompromisedLine = "compromised";

    /// <summary>The note text: six lines, and a seventh after a compromise.</summary>
    public string Text => string.Create(
        CultureInfo.InvariantCulture,
        $"{Origin}{Suffix}\n{Old.Text}\n{New.Text}\n{Next.Standard}\n{Size}\n{Root.Standard}\n{(Compromised ? CompromisedLine + "\n" : "")}");

    /// <summary>Reads the text of a note. Says nothing about its signatures.</summary>
    /// <exception cref="Malformed"><c>key-rotation</c>, or what <see cref="VerifierKey.Parse"/> refuses.</exception>
    public static KeyRotation Read(SignedNote note)
    {
        var lines = NoteText.Lines(note.Text, "key-rotation");
        if (lines.Length is not (6 or 7) || (lines.Length == 7 && lines[6] != CompromisedLine))
            throw new Malformed("key-rotation", "A key rotation has six lines: origin, old key, new key, digest of the next, size, root.");
        return new KeyRotation(
            NoteText.Origin(lines[0], Suffix, "key-rotation"), VerifierKey.Parse(lines[1]), VerifierKey.Parse(lines[2]),
            NoteText.Hash(lines[3], "key-rotation"), NoteText.Decimal(lines[4], "key-rotation"), NoteText.Hash(lines[5], "key-rotation"),
            lines.Length == 7);
    }

    /// <summary>Reads a rotation and checks it against what was known before it.</summary>
    /// <param name="note">The note.</param>
    /// <param name="current">The ledger's key up to here.</param>
    /// <param name="promised">Digest of the next key as the ledger gave it before.</param>
    /// <exception cref="Malformed">As <see cref="Read"/>; <c>key-rotation.keys</c>, <c>key-rotation.promise</c>, <c>key-rotation.signature</c>.</exception>
    public static KeyRotation Follow(SignedNote note, VerifierKey current, Hash promised)
    {
        var rotation = Read(note);
        if (!rotation.Old.Equals(current) || rotation.New.Equals(current) || !rotation.Ours(current) || !rotation.Ours(rotation.New))
            throw new Malformed("key-rotation.keys", "The rotation does not lead from the present key to another of the same ledger.");
        if (rotation.New.Digest != promised)
            throw new Malformed("key-rotation.promise", "The new key is not the one whose digest had been given before.");
        var verdict = note.Verify(current, rotation.New);
        if (!verdict.SignedBy(rotation.New) || (!rotation.Compromised && !verdict.SignedBy(current)))
            throw new Malformed("key-rotation.signature", "The rotation is not signed as it must be: by both keys, or after a compromise by the new one.");
        return rotation;
    }

    bool Ours(VerifierKey key) => key.Type == VerifierKey.Ed25519 && string.Equals(key.Name, Origin, StringComparison.Ordinal);
}
