using Custody.Bats;
using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>One ledger's part of a dossier, read as far as it can be: what the checks look at.</summary>
sealed class HistoryReading
{
    internal HistoryReading(LedgerPart part)
    {
        Part = part;
        History = HistoryLines.Read(part.History ?? default);
        Context = HistoryLines.Read(part.Context ?? default);
        Checkpoint = Try(part.Checkpoint, bytes => Custody.Transparency.Checkpoint.Read(SignedNote.Parse(bytes.Span)));
        Head = Try(part.Head, bytes => Custody.Transparency.Head.Read(SignedNote.Parse(bytes.Span)));
        Origin = Checkpoint.Value?.Origin ?? First?.Ledger ?? "unnamed ledger";
        if (Checkpoint.Value is { } checkpoint)
            Places = LogPlaces.Find(checkpoint, part.Checkpoint!.Value, part.Proofs, new ProvenLines(History.Lines, Context.Lines));
        Keys = ReadKeys();
    }

    internal LedgerPart Part { get; }

    internal HistoryLines History { get; }

    internal HistoryLines Context { get; }

    internal IEnumerable<HistoryLine> Lines => History.Lines.Concat(Context.Lines);

    internal ReadNote<Checkpoint> Checkpoint { get; }

    internal ReadNote<Head> Head { get; }

    /// <summary>Null when there is no checkpoint to prove anything under.</summary>
    internal LogPlaces? Places { get; }

    internal ReadNote<LedgerKeys> Keys { get; }

    /// <summary>The ledger's name.</summary>
    internal string Origin { get; }

    /// <summary>Envelope of the history's first readable entry.</summary>
    internal Envelope? First => History.Lines.FirstOrDefault(l => l.Form is not null)?.Form!.Envelope;

    /// <summary>Envelope of the history's last readable entry.</summary>
    internal Envelope? Last => History.Lines.LastOrDefault(l => l.Form is not null)?.Form!.Envelope;

    ReadNote<LedgerKeys> ReadKeys()
    {
        var own = Context.Lines.Where(l => l.Entry is not null && Places?.Of(l) is not null && l.Form!.Envelope.Ledger == Origin)
            .Select(l => (Places!.Of(l)!.Value, l.Entry!)).OrderBy(e => e.Item1);
        try
        {
            return new(LedgerKeys.Follow(Origin, own), null);
        }
        catch (Malformed malformed)
        {
            return new(null, malformed.Sentence);
        }
    }

    static ReadNote<T> Try<T>(ReadOnlyMemory<byte>? bytes, Func<ReadOnlyMemory<byte>, T> read) where T : class
    {
        if (bytes is not { } there) return new(null, "it is missing");
        try
        {
            return new(read(there), null);
        }
        catch (Malformed malformed)
        {
            return new(null, malformed.Sentence);
        }
    }
}

/// <summary>Something read, or why it could not be.</summary>
sealed record ReadNote<T>(T? Value, string? Fault) where T : class;
