using Custody.Bats;
using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>A place in a stream whose entry was lost, or lawfully removed: its hash stays, so the chain and the log still hold.</summary>
/// <param name="Why">The entry that says why.</param>
public sealed record Gone(long N, string Hash, Reference Why)
{
    /// <summary>The line that stands in place of the entry: {"gone":{"hash":..,"n":..,"why":{..}}}.</summary>
    public byte[] ToLine() => Jcs.Write(new ObjBuilder
    {
        {
            "gone", new ObjBuilder { { "hash", Hash }, { "n", N } }
                .Add("why", new ObjBuilder { { "hash", Why.Hash } }.AddIfPresent("ledger", Why.Ledger is { } l ? new Json.Str(l) : null)
                    .Add("n", Why.N).Add("stream", Why.Stream.ToString()).Build()).Build()
        },
    }.Build());

    /// <summary>Whether these bytes stand for an entry that is gone: no entry begins so.</summary>
    public static bool IsOne(ReadOnlySpan<byte> line) => line.StartsWith("{\"gone\":"u8);

    /// <summary>Reads such a line.</summary>
    /// <exception cref="Malformed"><c>entry.gone</c>, or what canonical JSON refuses.</exception>
    public static Gone Read(ReadOnlySpan<byte> line)
    {
        if (Jcs.ParseCanonical(line, JsonLimits.Entry) is Json.Obj { Members: [{ Value: Json.Obj { Members.Count: 3 } gone }] }
            && gone["n"] is Json.Int { Value: >= 1 } n && gone["hash"] is Json.Str hash && EntryText.IsHash(hash.Value) && gone["why"] is { } why)
            return new Gone(n.Value, hash.Value, ReferenceKind.Read(why, "/gone/why"));
        throw new Malformed("entry.gone", "A line for an entry that is gone holds its n, its hash and why.");
    }
}

/// <summary>One line of <c>history.jsonl</c> or <c>context.jsonl</c>, read as far as it can be.</summary>
/// <param name="Number">Line number in its file, from 1.</param>
/// <param name="Bytes">The line without its line feed.</param>
public sealed record HistoryLine(int Number, ReadOnlyMemory<byte> Bytes)
{
    /// <summary>The entry's form; null when the line is no well-formed entry, or stands for one that is gone.</summary>
    public EntryForm? Form { get; private init; }

    /// <summary>The entry with nothing shown; null too when its event type is not known here.</summary>
    public Entry? Entry { get; private init; }

    /// <summary>Where the entry's digests stand; empty when its event type is not known here.</summary>
    public IReadOnlyList<DigestPlace> Digests { get; private init; } = [];

    /// <summary>What stands here in place of an entry.</summary>
    public Gone? Gone { get; private init; }

    /// <summary>What is wrong with the line; null when nothing is, as far as this code can tell.</summary>
    public Malformed? Fault { get; private init; }

    /// <summary>Whether the line is well formed as far as every entry is alike, but of an event type this code has never heard of.</summary>
    public bool IsUnknownType => Form is not null && Entry is null && Fault is null;

    /// <summary>Number in the stream, from entry or gone line.</summary>
    public long? N => Form?.Envelope.N ?? Gone?.N;

    /// <summary>Entry hash, from entry or gone line.</summary>
    public string? Hash => Form?.Hash ?? Gone?.Hash;

    internal static HistoryLine Read(int number, ReadOnlyMemory<byte> bytes)
    {
        var line = new HistoryLine(number, bytes);
        try
        {
            if (Gone.IsOne(bytes.Span)) return line with { Gone = Gone.Read(bytes.Span) };
            line = line with { Form = EntryForm.Read(bytes.Span) };
            var (entry, digests) = EntryCodec.Open(line.Form);
            return line with { Entry = entry, Digests = digests };
        }
        catch (Malformed fault) when (fault.Code == EntryCodec.UnknownType)
        {
            return line;
        }
        catch (Malformed fault)
        {
            return line with { Fault = fault };
        }
    }
}

/// <summary>The lines of a file of entries: each ended by one line feed, none empty.</summary>
public sealed record HistoryLines(IReadOnlyList<HistoryLine> Lines, Malformed? Fault)
{
    /// <summary>Most lines read from one file.</summary>
    public const int MaxLines = 200_000;

    /// <summary>Reads a file; never throws. A fault of a line stands with the line, one of the file as a whole here.</summary>
    public static HistoryLines Read(ReadOnlyMemory<byte> file)
    {
        List<HistoryLine> lines = [];
        while (!file.IsEmpty)
        {
            var end = file.Span.IndexOf((byte)'\n');
            if (end < 0)
            {
                lines.Add(HistoryLine.Read(lines.Count + 1, file));
                return new(lines, new Malformed("history.line-feed", "The last line does not end in a line feed."));
            }
            if (lines.Count == MaxLines) return new(lines, new Malformed("history.too-long", $"The file has more than {MaxLines} lines."));
            lines.Add(HistoryLine.Read(lines.Count + 1, file[..end]));
            file = file[(end + 1)..];
        }
        return new(lines, null);
    }
}
