using Custody.Server.Finding;
using Custody.Server.Log;
using Custody.Server.Recording;
using Microsoft.Extensions.DependencyInjection;
using Npgsql;

namespace Custody.Benchmarks;

/// <summary>What an event takes on disk without photographs: everything that recording, publishing and indexing leave in the database with its indexes, and the
/// log's and keys' files, whole blocks counted. Lives of forty entries, through the full path, in a ledger of its own.</summary>
static class Storing
{
    const int LifeOf = 40, Block = 4096, Alone = 512;
    const double Goal = 1500;

    public static async Task Measure(Bench bench, Plan plan, Figures figures, CancellationToken ct)
    {
        await using var sized = await Sized.Open(bench, ct);
        var (rows, files) = (await sized.Rows(ct), sized.Files());
        var writers = await Writers.Register(sized.Get<Recorder>(), plan.Stored, ct);
        for (var n = Writers.FirstNext; n <= LifeOf; n++)
        {
            await Parallel.ForAsync(0, plan.Stored, new ParallelOptions { MaxDegreeOfParallelism = 8, CancellationToken = ct }, async (bat, token) => await writers.Record(bat, token));
            // Forty acts on a bat take years, in which PostgreSQL cleans up by itself many times over; here they take a minute.
            if (n % 5 == 0 || n == LifeOf) await sized.Settle(ct);
        }
        var events = (double)plan.Stored * LifeOf;
        var (inRows, inFiles) = ((await sized.Rows(ct) - rows) / events, (sized.Files() - files) / events);
        figures.Note("bytes_per_event_database", inRows, "bytes");
        figures.Note("bytes_per_event_files", inFiles, "bytes");
        foreach (var (relation, bytes) in await sized.Relations(ct))
            if (bytes / events > 10) figures.Note("bytes_per_event_in_" + relation, bytes / events, "bytes");
        figures.Below("bytes_per_event", inRows + inFiles, "bytes", Goal);
        await MeasureAlone(sized, writers, figures, ct);
    }

    /// <summary>A quiet house: each act gets a checkpoint of its own.</summary>
    static async Task MeasureAlone(Sized sized, Writers writers, Figures figures, CancellationToken ct)
    {
        var before = sized.Files();
        for (var i = 0; i < Alone; i++)
        {
            await writers.Record(i % writers.Bats.Count, ct);
            await sized.Get<Sequencer>().Turn(ct);
        }
        figures.Note("bytes_per_event_files_alone", (sized.Files() - before) / (double)Alone, "bytes");
    }

    /// <summary>A ledger of its own on the same PostgreSQL.</summary>
    sealed class Sized(LedgerPlace place, ServiceProvider services) : IAsyncDisposable
    {
        public T Get<T>() where T : notnull => services.GetRequiredService<T>();

        public static async Task<Sized> Open(Bench bench, CancellationToken ct)
        {
            var place = bench.Place with { DataFolder = bench.Place.Folder("sized"), Schema = "sized" };
            Directory.CreateDirectory(place.DataFolder);
            var services = Bench.Services(place);
            await services.PrepareDatabase(ct);
            return new(place, services);
        }

        public async Task<long> Rows(CancellationToken ct)
        {
            await using var command = Get<NpgsqlDataSource>().CreateCommand(
                "select coalesce(sum(pg_total_relation_size(c.oid)), 0)::bigint from pg_class c join pg_namespace n on n.oid = c.relnamespace where c.relkind = 'r' and n.nspname like 'sized%'");
            return (long)(await command.ExecuteScalarAsync(ct))!;
        }

        public async Task<List<(string Relation, long Bytes)>> Relations(CancellationToken ct)
        {
            await using var command = Get<NpgsqlDataSource>().CreateCommand(
                "select relname, pg_relation_size(oid) from pg_class where relkind in ('r', 'i') and relnamespace = 'sized'::regnamespace order by 2 desc");
            List<(string, long)> relations = [];
            await using var reader = await command.ExecuteReaderAsync(ct);
            while (await reader.ReadAsync(ct)) relations.Add((reader.GetString(0), reader.GetInt64(1)));
            return relations;
        }

        public long Files() => new DirectoryInfo(place.DataFolder).EnumerateFiles("*", SearchOption.AllDirectories).Sum(f => (f.Length + Block - 1) / Block * Block);

        /// <summary>Everything published and indexed. What is dead is used again by later rows: no table is made smaller.</summary>
        public async Task Settle(CancellationToken ct)
        {
            while (await Get<Sequencer>().Turn(ct)) { }
            while (await Get<SearchIndex>().Follow(ct) > 0) { }
            await using var command = Get<NpgsqlDataSource>().CreateCommand("vacuum analyze");
            command.CommandTimeout = 600;
            await command.ExecuteNonQueryAsync(ct);
        }

        public ValueTask DisposeAsync() => services.DisposeAsync();
    }
}
