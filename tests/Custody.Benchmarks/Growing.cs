
namespace Custody.Benchmarks;

/// <summary>What an act costs in a ledger of 10,000 events and in one of millions, loaded in batches: time for one, one writer, and how it grows. With the flag
/// the audit too, which looks at everything and so grows as what there is.</summary>
static class Growing
{
    const double Goal = 0.1;
    static readonly int[] Steps = [10_000, 100_000, 1_000_000];

    public static async Task Measure(Bench bench, int upTo, Plan plan, bool audits, Figures figures, CancellationToken ct)
    {
        List<(double, double)> appends = [], audited = [];
        foreach (var size in Steps.Where(s => s < upTo).Append(upTo))
        {
            await BulkLoad.Load(bench, size - (int)Math.Min(size, await Events(bench, ct)), ct);
            if (audits) await FillStates(bench, ct);
            var events = (double)await Events(bench, ct);
            List<double> rounds = [];
            await Appending.Rate(bat => bench.Writers.Record(bat, ct), 1, bench.Writers.Bats.Count, plan.Window);
            for (var round = 0; round < plan.Rounds; round++)
                rounds.Add(1000 / await Appending.Rate(bat => bench.Writers.Record(bat, ct), 1, bench.Writers.Bats.Count, plan.Window));
            var cost = rounds.Order().ElementAt(rounds.Count / 2);
            appends.Add((events, cost));
            figures.Note($"append_ms_at_{size}", cost, "ms");
            if (!audits) continue;
            var told = await Auditing.Run(bench, ct);
            audited.Add((events, told.Seconds));
            figures.Note($"audit_s_at_{size}", told.Seconds, "s");
            figures.Note($"audit_peak_mb_at_{size}", told.PeakMb, "MB");
        }
        figures.Below("append_growth_exponent", Fit.Exponent(appends), "of events", Goal);
        if (audits) figures.Below("audit_growth_exponent", Fit.Exponent(audited), "of events", 1.1);
    }

    public static Task<long> Events(Bench bench, CancellationToken ct) => bench.Scalar<long>($"select count(*) from {bench.Place.Schema}.mt_events", ct);

    /// <summary>A state for each loaded bat, as large as one has that is under way, so that its table is as large as it would be. Never read.</summary>
    static Task FillStates(Bench bench, CancellationToken ct) => bench.Run(
        $$"""
        do $fill$
        declare named text;
        begin
            select string_agg(quote_ident(attname), ', ') into named from pg_attribute
                where attrelid = '{{bench.Place.Schema}}.mt_doc_bat_state'::regclass and attnum > 0 and not attisdropped and attname not in ('id', 'data') and attgenerated = '';
            execute format($sql$
                insert into {{bench.Place.Schema}}.mt_doc_bat_state (id, data, %1$s)
                select s.id, jsonb_set(jsonb_set(d.data, '{id}', to_jsonb(s.id)), '{registration,shortNumber}', to_jsonb(s.id)), %2$s
                from {{bench.Place.Schema}}.mt_streams s, (select * from {{bench.Place.Schema}}.mt_doc_bat_state where id = '{{bench.Writers.Bats[0]}}') d
                where s.id like 'bat/%%' on conflict do nothing
                $sql$, named, 'd.' || replace(named, ', ', ', d.'));
        end $fill$
        """, ct);
}
