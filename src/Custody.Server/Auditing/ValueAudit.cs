using System.Globalization;
using System.Security.Cryptography;
using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Private;
using Custody.Transparency;
using Npgsql;

namespace Custody.Server.Auditing;

/// <summary>Withheld values still open under their keys and still fit a digest of their entry; a party has one alias in a stream. Values whose key was
/// destroyed are erased and only counted. No value is ever told.</summary>
sealed class ValueAudit(KeyRing keys, FileAudit files, Findings findings, IProgress<string> progress)
{
    sealed record Value(string Stream, long N, string Pointer, string Name, Covered Covered)
    {
        public string Where => string.Create(CultureInfo.InvariantCulture, $"custody_withheld ({Stream}, {N}, {Pointer}, {Name})");
    }

    // Published texts and an audit's own report are hashed here and never handed in as files.
    static readonly string[] NeverHandedIn = ["reportHash", "textHash"];

    public long Looked { get; private set; }

    public long Erased { get; private set; }

    public async Task Run(Snapshot snapshot, CancellationToken ct)
    {
        var connection = await snapshot.Open(ct);
        var aliases = new AliasAudit(snapshot, keys, findings);
        await using var command = new NpgsqlCommand(
            $"""
            select w.stream, w.n, w.pointer, w.name, w.key_id, w.nonce, w.cipher, e.bdata
            from {snapshot.Schema}.custody_withheld w left join {snapshot.Schema}.mt_events e on e.stream_id = w.stream and e.version = w.n
            order by w.stream, w.n, w.pointer, w.name
            """, connection)
        { CommandTimeout = 0 };
        (string, long) at = ("", 0);
        var before = "";
        Dictionary<string, HashSet<string>>? digests = null;
        await using var reader = await command.ExecuteReaderAsync(ct);
        while (await reader.ReadAsync(ct))
        {
            var value = new Value(reader.GetString(0), reader.GetInt64(1), reader.GetString(2), reader.GetString(3),
                new(reader.GetString(4), reader.GetFieldValue<byte[]>(5), reader.GetFieldValue<byte[]>(6)));
            if (at != (value.Stream, value.N)) (at, digests) = ((value.Stream, value.N), reader.IsDBNull(7) ? null : Digests(reader.GetFieldValue<byte[]>(7)));
            if (value.Where == before) findings.Fault("value-twice", before, "the row is there twice.");
            before = value.Where;
            await Look(value, digests, aliases, ct);
            if (++Looked % 100_000 == 0) progress.Report(string.Create(CultureInfo.InvariantCulture, $"withheld values: {Looked:N0}"));
        }
        await aliases.End(ct);
        await aliases.Unfounded(ct);
    }

    async Task Look(Value value, Dictionary<string, HashSet<string>>? digests, AliasAudit aliases, CancellationToken ct)
    {
        // The name goes on to name a file: only what has its form is looked for.
        if (!Crockford.IsWritten(value.Covered.KeyId) || keys.Find(value.Covered.KeyId) is not { } key)
        {
            if (Crockford.IsWritten(value.Covered.KeyId) && keys.WasDestroyed(value.Covered.KeyId)) Erased++;
            else findings.Fault("value-key", value.Where, "the key it is under is not here, and was not destroyed.");
            return;
        }
        if (Opened(value, key) is not { } disclosure) return;
        if (digests is null || !digests.TryGetValue(value.Pointer, out var there) || !there.Contains(Disclosure.Digest(disclosure)))
        {
            findings.Fault("value-digest", value.Where, "the value fits no digest of its entry.");
            return;
        }
        var shown = Disclosure.Parse(disclosure);
        if (shown.Name != value.Name) findings.Fault("value-name", value.Where, "the value is one of another field.");
        if (shown.Value is not Json.Str text) return;
        if (value.Name == "partyStream") await aliases.Take(value.Stream, value.Pointer, text.Value, ct);
        if (NeverHandedIn.Contains(value.Name)) return;
        if ((value.Name.EndsWith("Hash", StringComparison.Ordinal) || value.Name == "original") && Hash.TryParse(text.Value, out var hash)) await files.Paper(hash, value.Where, ct);
    }

    string? Opened(Value value, byte[] key)
    {
        try
        {
            return Cover.Off(key, Cover.Place(value.Stream, value.N, value.Pointer, value.Name), value.Covered);
        }
        catch (Exception wrong) when (wrong is AuthenticationTagMismatchException or ArgumentException or OverflowException)
        {
            findings.Fault("value-cover", value.Where, "the row was changed, or stands in another's place: it does not open under its key.");
            return null;
        }
    }

    // Digests by the object that holds them; an entry that cannot be read, or is gone, has none.
    static Dictionary<string, HashSet<string>>? Digests(byte[] bytes)
    {
        try
        {
            Dictionary<string, HashSet<string>> digests = new(StringComparer.Ordinal);
            if (!Gone.IsOne(bytes)) Collect(EntryForm.Read(bytes).Body, "/body", digests);
            return digests;
        }
        catch (Malformed)
        {
            return null; // Found by the scan of all events.
        }
    }

    static void Collect(Json.Obj obj, string pointer, Dictionary<string, HashSet<string>> digests)
    {
        foreach (var (name, value) in obj.Members)
        {
            if (name == "_sd" && value is Json.Arr list) digests[pointer] = [.. list.Items.OfType<Json.Str>().Select(d => d.Value)];
            else if (value is Json.Obj inner) Collect(inner, $"{pointer}/{name}", digests);
        }
    }
}
