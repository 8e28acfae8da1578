using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>Evidence as one file: canonical JSON (RFC 8785), complete in itself, with the procedure by which anybody can check it by hand.</summary>
public static class MisconductFile
{
    /// <summary>What <c>v</c> says.</summary>
    public const string Version = "custody-misconduct/1";

    /// <summary>Longest file, in bytes.</summary>
    public const int MaxBytes = 1 << 20;

    // Two notes, few records: more is no evidence of these kinds.
    const int Most = 2;

    static readonly JsonLimits Limits = new(MaxBytes, 6);

    /// <summary>How the kinds are called in the file.</summary>
    static readonly (MisconductKind Kind, string Word, string Procedure)[] Kinds =
    [
        (MisconductKind.TwoTrees, "twoTrees",
            "Verify both notes (c2sp.org/signed-note) with the key; size and root are lines 2 and 3 of a checkpoint, 5 and 6 of a head. Sizes equal: the roots differ. "
            + "Otherwise the consistency proof (RFC 9162 section 2.1.4.2) leads from size of the first and prefix to size and root of the second, and prefix is not the root of the first."),
        (MisconductKind.SecondEntry, "secondEntry",
            "Verify the note (c2sp.org/signed-note) with the key. Both inclusion proofs (RFC 9162 section 2.1.3.2) lead from their records at two different indexes to its root; "
            + "bytes 33 to 64 of both records, the slot tag, are the same."),
        (MisconductKind.DeniedEntry, "deniedEntry",
            "Verify the head (c2sp.org/signed-note) with the key; its lines are origin/head, stream, number, entry, size, root, time. The inclusion proof (RFC 9162 section 2.1.3.2) leads from "
            + "the record to that root. Bytes 33 to 64 of the record are SHA-256 of custody/slot/v1, origin, stream and n, joined by line feeds; and n is above the head's number, or is that "
            + "number while bytes 1 to 32 are not the head's entry."),
    ];

    /// <summary>The file of some evidence, ending in a line feed.</summary>
    public static byte[] Write(Misconduct evidence)
    {
        var (_, word, procedure) = Array.Find(Kinds, k => k.Kind == evidence.Kind);
        var file = new ObjBuilder { { "v", Version }, { "kind", word }, { "procedure", procedure }, { "key", evidence.Key.Text }, { "notes", Texts(evidence.Notes) } };
        if (evidence.Kind == MisconductKind.TwoTrees)
            AddPrefix(file, evidence);
        else
            file.Add("records", new Json.Arr([.. evidence.Records.Select(Record)])).AddIfPresent("n", evidence.N is { } n ? n : (Json?)null);
        return [.. Jcs.Write(file.Build()), (byte)'\n'];
    }

    /// <summary>Reads a file. Judges nothing.</summary>
    /// <exception cref="Malformed">Codes beginning <c>json.</c>, <c>vkey</c>, <c>hash</c>, <c>record.</c>, or <c>misconduct</c>: not such a file.</exception>
    public static Misconduct Read(ReadOnlySpan<byte> bytes)
    {
        if (bytes.Length == 0 || bytes[^1] != (byte)'\n' || Jcs.ParseCanonical(bytes[..^1], Limits) is not Json.Obj file) throw Bad("It is not one JSON object and a line feed.");
        if (file.Optional<Json.Str>("v")?.Value != Version) throw Bad($"Only {Version} is known here.");
        var word = file.Require<Json.Str>("kind").Value;
        if (Array.Find(Kinds, k => k.Word == word) is not { Word: not null } known) throw Bad("Its kind is not known here.");
        var evidence = new Misconduct(known.Kind, VerifierKey.Parse(file.Require<Json.Str>("key").Value), [.. Texts(file, "notes")])
        {
            Records = file.Has("records") ? [.. Few(file, "records").Select(ReadRecord)] : [],
            N = file.Optional<Json.Int>("n")?.Value,
            Prefix = file.Optional<Json.Str>("prefix") is { } prefix ? Hash.ParseStandard(prefix.Value) : null,
            Consistency = file.Has("consistency") ? ReadHashes(file, "consistency") : [],
        };
        // Writing it again refuses whatever else stands in it, and a procedure that is not the published one.
        return bytes.SequenceEqual(Write(evidence)) ? evidence : throw Bad("It holds something besides what its kind needs.");
    }

    static void AddPrefix(ObjBuilder file, Misconduct evidence)
    {
        if (evidence.Prefix is { } prefix) file.Add("prefix", prefix.Standard).Add("consistency", Hashes(evidence.Consistency));
    }

    static Json Record(ProvenRecord record) => new ObjBuilder
    {
        { "index", record.Index }, { "record", Base64Std.Encode(record.Record.ToArray()) }, { "proof", Hashes(record.Proof) },
    }.Build();

    static ProvenRecord ReadRecord(Json json)
    {
        var record = json as Json.Obj ?? throw Bad("A record is not an object.");
        return new(record.Require<Json.Int>("index").Value, LogRecord.FromBytes(Base64Std.Decode(record.Require<Json.Str>("record").Value)), ReadHashes(record, "proof"));
    }

    static Json.Arr Hashes(IReadOnlyList<Hash> hashes) => Texts(hashes.Select(h => h.Standard));

    static List<Hash> ReadHashes(Json.Obj of, string name) => of.Require<Json.Arr>(name).Items.Count <= Merkle.MaxProof
        ? [.. Texts(of.Require<Json.Arr>(name)).Select(t => Hash.ParseStandard(t))]
        : throw Bad("A proof is longer than any tree needs.");

    static Json.Arr Texts(IEnumerable<string> texts) => new([.. texts.Select(t => (Json)t)]);

    static IEnumerable<string> Texts(Json.Obj of, string name) => Texts(new Json.Arr(Few(of, name)));

    static IEnumerable<string> Texts(Json.Arr items) => items.Items.Select(i => i is Json.Str text ? text.Value : throw Bad("A text is expected in a list."));

    static IReadOnlyList<Json> Few(Json.Obj of, string name) =>
        of.Require<Json.Arr>(name).Items is { Count: > 0 and <= Most } items ? items : throw Bad($"There are one or two {name}.");

    static Malformed Bad(string sentence) => new("misconduct", $"This is not a proof of misconduct. {sentence}");
}
