using System.Globalization;
using System.Text;
using Custody.Server.Cosigning;
using Custody.Transparency;
using Npgsql;

namespace Custody.Server.Auditing;

/// <summary>What this server cosigned for other ledgers, and the evidence it keeps against them: each row says what its note says, each note bears this
/// server's own line, and what counts as the last is the largest of all. A row changed here would let a ledger tell two histories.</summary>
sealed class CosignAudit(Snapshot snapshot, CosignerKey own, Findings findings)
{
    public async Task Run(CancellationToken ct)
    {
        using var key = own.Open();
        Dictionary<string, long> last = new(StringComparer.Ordinal);
        HashSet<(string, long)> met = [];
        await foreach (var row in Rows("select origin, size, note, cosigned from {0}.custody_cosigned_before order by origin, size", ct))
        {
            var (origin, size) = (row.GetString(0), row.GetInt64(1));
            var where = string.Create(CultureInfo.InvariantCulture, $"custody_cosigned_before ({origin}, {size})");
            LookAt(where, key?.Verifier, origin, size, row.GetString(2), row.GetFieldValue<DateTimeOffset>(3));
            if (!met.Add((origin, size))) findings.Fault("cosigned-twice", where, "the row is there twice.");
            last[origin] = size;
        }
        await foreach (var row in Rows("select origin, size, note, cosigned from {0}.custody_cosigned order by origin", ct))
        {
            var (origin, where) = (row.GetString(0), $"custody_cosigned origin {row.GetString(0)}");
            LookAt(where, key?.Verifier, origin, row.GetInt64(1), row.GetString(2), row.GetFieldValue<DateTimeOffset>(3));
            if (!last.Remove(origin, out var largest)) findings.Fault("cosigned-twice", where, "no checkpoint of this ledger was cosigned, or the row is there twice.");
            else if (largest != row.GetInt64(1)) findings.Fault("cosigned-last", where, "it is not the largest checkpoint that was cosigned.");
        }
        foreach (var origin in last.Keys) findings.Fault("cosigned-missing", $"custody_cosigned origin {origin}", "the row is missing: the ledger could begin anew.");
        await Forks(key?.Verifier, met, ct);
    }

    async Task Forks(VerifierKey? key, HashSet<(string, long)> cosigned, CancellationToken ct)
    {
        HashSet<string> met = new(StringComparer.Ordinal);
        await foreach (var row in Rows("select origin, cosigned, request, encode(digest, 'hex'), digest = sha256(request) from {0}.custody_fork", ct))
        {
            var (origin, where) = (row.GetString(0), $"custody_fork ({row.GetString(0)}, {row.GetString(3)})");
            if (!met.Add(where)) findings.Fault("fork-twice", where, "the row is there twice.");
            if (!row.GetBoolean(4)) findings.Fault("fork-other", where, "the request is not the one that its digest says.");
            try
            {
                var before = Read(row.GetString(1), key, out var why, out _);
                if (why is not null) findings.Fault("fork-other", where, why);
                if (before.Origin != origin || Checkpoint.Read(AddCheckpoint.Parse(row.GetFieldValue<byte[]>(2)).Checkpoint).Origin != origin)
                    findings.Fault("fork-other", where, "the evidence is against another ledger.");
                else if (!cosigned.Contains((origin, before.Size))) findings.Fault("fork-other", where, "what it says was cosigned is not among what was.");
            }
            catch (Malformed malformed)
            {
                findings.Fault("fork-other", where, malformed.Sentence);
            }
        }
    }

    void LookAt(string where, VerifierKey? key, string origin, long size, string text, DateTimeOffset cosigned)
    {
        try
        {
            var checkpoint = Read(text, key, out var why, out var time);
            if (why is not null) findings.Fault("cosigned-other", where, why);
            else if (time != cosigned.ToUnixTimeSeconds()) findings.Fault("cosigned-time", where, "the line under the note was made at another time.");
            if (checkpoint.Origin != origin || checkpoint.Size != size) findings.Fault("cosigned-other", where, "the note is of another ledger, or of another size.");
        }
        catch (Malformed malformed)
        {
            findings.Fault("cosigned-other", where, malformed.Sentence);
        }
    }

    static Checkpoint Read(string text, VerifierKey? key, out string? why, out long? time)
    {
        var note = SignedNote.Parse(Encoding.UTF8.GetBytes(text));
        var verdict = key is null ? null : note.Verify(key);
        why = verdict is null ? "there is no cosigner's key here that could have made it." : verdict.Holds ? null : $"this server's own line does not fit. {verdict.Sentence}";
        time = verdict is { Holds: true } ? verdict.Signatures[0].Time : null;
        return Checkpoint.Read(note);
    }

    async IAsyncEnumerable<NpgsqlDataReader> Rows(string sql, [System.Runtime.CompilerServices.EnumeratorCancellation] CancellationToken ct)
    {
        await using var command = new NpgsqlCommand(sql.Replace("{0}", snapshot.Schema, StringComparison.Ordinal), snapshot.First) { CommandTimeout = 600 };
        await using var reader = await command.ExecuteReaderAsync(ct);
        while (await reader.ReadAsync(ct)) yield return reader;
    }
}
