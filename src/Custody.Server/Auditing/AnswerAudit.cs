using Npgsql;

namespace Custody.Server.Auditing;

/// <summary>First answers say of entries what those are: whoever repeats a submission is told what was recorded, and nothing else.</summary>
static class AnswerAudit
{
    const string Gone = """{"gone":""", Empty = "{}";

    public static async Task Run(Snapshot snapshot, Findings findings, CancellationToken ct)
    {
        // The hash of the bytes as they are; of an entry that is gone the line holds it, and the log confirms it.
        await using var command = new NpgsqlCommand(
            $"""
            select a.key, coalesce(x.stream, ''), coalesce(x.n, 0), e.seq_id is not null and (x.hash = translate(rtrim(encode(sha256(e.bdata), 'base64'), '='), '+/', '-_')
                or substring(e.bdata for 8) = convert_to('{Gone}', 'UTF8'))
            from (select key, case when jsonb_typeof(answer) = 'array' then answer else '[null]' end as answer from {snapshot.Schema}.custody_answer) a
            cross join lateral jsonb_array_elements(a.answer) as item
            cross join lateral jsonb_to_record(case when jsonb_typeof(item) = 'object' then item else '{Empty}' end) as x(stream text, n bigint, hash text)
            left join {snapshot.Schema}.mt_events e on e.stream_id = x.stream and e.version = x.n
            """, snapshot.First)
        { CommandTimeout = 0 };
        await using var reader = await command.ExecuteReaderAsync(ct);
        while (await reader.ReadAsync(ct))
            if (!reader.GetBoolean(3))
                findings.Fault("answer-other", $"custody_answer key {reader.GetString(0)} ({reader.GetString(1)} {reader.GetInt64(2)})", "no entry is recorded as it says.");
    }
}
