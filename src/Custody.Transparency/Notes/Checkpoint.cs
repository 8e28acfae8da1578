using System.Globalization;

namespace Custody.Transparency;

/// <summary>The state of a log at a size (c2sp.org/tlog-checkpoint), the text of a signed note.</summary>
/// <param name="Origin">The log's name.</param>
/// <param name="Size">Leaves.</param>
/// <param name="Root">Root of the tree over them.</param>
public sealed record Checkpoint(string Origin, long Size, Hash Root)
{
    /// <summary>Lines after the first three. This project writes none and reads over them; they are part of what is signed.</summary>
    public IReadOnlyList<string> Extensions { get; init; } = [];

    /// <summary>The note text.</summary>
    public string Text => string.Create(CultureInfo.InvariantCulture, $"{Origin}\n{Size}\n{Root.Standard}\n")
        + string.Concat(Extensions.Select(line => line + "\n"));

    /// <summary>The signed checkpoint.</summary>
    public SignedNote Sign(params SignerKey[] signers) => SignedNote.Sign(Text, signers);

    /// <summary>Reads the text of a note. Says nothing about its signatures.</summary>
    /// <exception cref="Malformed"><c>checkpoint</c>.</exception>
    public static Checkpoint Read(SignedNote note) => Read(note.Text);

    /// <summary>Reads a note text.</summary>
    /// <exception cref="Malformed"><c>checkpoint</c>.</exception>
    public static Checkpoint Read(string text)
    {
        var lines = NoteText.Lines(text, "checkpoint");
        if (lines.Length < 3) throw new Malformed("checkpoint", "A checkpoint has at least three lines: origin, size and root.");
        var checkpoint = new Checkpoint(lines[0], NoteText.Decimal(lines[1], "checkpoint"), NoteText.Hash(lines[2], "checkpoint")) { Extensions = lines[3..] };
        return checkpoint.Size > 0 || checkpoint.Root == Merkle.EmptyRoot
            ? checkpoint
            : throw new Malformed("checkpoint", "An empty tree has the hash of nothing as its root.");
    }

    /// <inheritdoc/>
    public bool Equals(Checkpoint? other) => other is not null && string.Equals(Text, other.Text, StringComparison.Ordinal);

    /// <inheritdoc/>
    public override int GetHashCode() => HashCode.Combine(Origin, Size, Root);
}
