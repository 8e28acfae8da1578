using System.Globalization;

namespace Custody.Transparency;

/// <summary>
/// The ledger's signed word on where one stream ends at one checkpoint: seven lines. A stream holds a slash, so its line is no tree size and a
/// head cannot pass for a checkpoint.
/// </summary>
/// <param name="Origin">The ledger's name.</param>
/// <param name="Stream">Such as <c>bat/...</c>.</param>
/// <param name="N">Place of the stream's last entry below the size.</param>
/// <param name="Entry">That entry's hash.</param>
/// <param name="Size">Size of the checkpoint.</param>
/// <param name="Root">Root of the checkpoint.</param>
/// <param name="Time">When it was said, UTC, whole seconds.</param>
public sealed record Head(string Origin, string Stream, long N, Hash Entry, long Size, Hash Root, DateTimeOffset Time)
{
    const string Suffix = "/head";
    const string TimeForm = "yyyy-MM-dd'T'HH:mm:ss'Z'";

    /// <summary>The note text.</summary>
    public string Text => string.Create(
        CultureInfo.InvariantCulture,
        $"{Origin}{Suffix}\n{Stream}\n{N}\n{Entry.Standard}\n{Size}\n{Root.Standard}\n{Time.UtcDateTime.ToString(TimeForm, CultureInfo.InvariantCulture)}\n");

    /// <summary>The signed head.</summary>
    /// <exception cref="Malformed"><c>head</c>: its own text would not read back.</exception>
    public SignedNote Sign(SignerKey signer)
    {
        Read(Text);
        return SignedNote.Sign(Text, signer);
    }

    /// <summary>Reads the text of a note. Says nothing about its signatures.</summary>
    /// <exception cref="Malformed"><c>head</c>.</exception>
    public static Head Read(SignedNote note) => Read(note.Text);

    /// <summary>Reads a note text.</summary>
    /// <exception cref="Malformed"><c>head</c>.</exception>
    public static Head Read(string text)
    {
        var lines = NoteText.Lines(text, "head");
        if (lines.Length != 7) throw new Malformed("head", "A head has seven lines: origin, stream, n, entry, size, root, time.");
        if (!lines[1].Contains('/', StringComparison.Ordinal)) throw new Malformed("head", "The stream of a head holds a slash.");
        if (!DateTimeOffset.TryParseExact(lines[6], TimeForm, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal, out var time))
            throw new Malformed("head", "The time of a head is UTC to the second (RFC 3339).");
        var head = new Head(
            NoteText.Origin(lines[0], Suffix, "head"), lines[1], NoteText.Decimal(lines[2], "head"), NoteText.Hash(lines[3], "head"),
            NoteText.Decimal(lines[4], "head"), NoteText.Hash(lines[5], "head"), time);
        return head.N >= 1 && head.Size >= head.N ? head : throw new Malformed("head", "A head names a place from 1 on and no fewer leaves than that.");
    }
}
