using System.Threading.Channels;
using Custody.Server.Recording;
using Custody.Transparency;
using Npgsql;
using NpgsqlTypes;

namespace Custody.Server.Auditing;

/// <summary>Streams the two big tables by COPY, a few thousand rows at a time, each on a connection and thread of its own.</summary>
static class Rows
{
    const int AtOnce = 2000;

    // Batches under way: enough that two workers never wait, few enough that memory stays flat.
    const int Ahead = 4;

    /// <summary>The events in the order of recording, looked at by workers, handed on in order.</summary>
    public static ChannelReader<Task<EventLook[]>> Events(NpgsqlConnection connection, string schema, EventLooking looking, CancellationToken ct)
    {
        var channel = Channel.CreateBounded<Task<EventLook[]>>(Ahead);
        Run(channel.Writer, () =>
        {
            using var export = connection.BeginBinaryExport(
                $"copy (select seq_id, stream_id, version, bdata, type, is_archived, {Beside} from {schema}.mt_events order by seq_id) to stdout (format binary)");
            while (Next(export, Event) is { Count: > 0 } rows)
                Put(channel.Writer, Task.Run(() => rows.ConvertAll(looking.Look).ToArray(), ct), ct);
        });
        return channel.Reader;
    }

    /// <summary>The leaves in the order of the log.</summary>
    public static ChannelReader<List<LeafRow>> Leaves(NpgsqlConnection connection, string schema, CancellationToken ct)
    {
        var channel = Channel.CreateBounded<List<LeafRow>>(Ahead);
        Run(channel.Writer, () =>
        {
            using var export = connection.BeginBinaryExport(
                $"copy (select index, seq_id, stream, n, hash, tag from {schema}.custody_leaf order by index) to stdout (format binary)");
            while (Next(export, Leaf) is { Count: > 0 } rows) Put(channel.Writer, rows, ct);
        });
        return channel.Reader;
    }

    static void Run<T>(ChannelWriter<T> writer, Action read) => Task.Factory.StartNew(() =>
    {
        try
        {
            read();
            writer.Complete();
        }
        catch (Exception thrown)
        {
            // Whoever reads the channel meets it there.
            writer.Complete(thrown);
        }
    }, CancellationToken.None, TaskCreationOptions.LongRunning, TaskScheduler.Default);

    static void Put<T>(ChannelWriter<T> writer, T item, CancellationToken ct) => writer.WriteAsync(item, ct).AsTask().GetAwaiter().GetResult();

    static List<T> Next<T>(NpgsqlBinaryExporter export, Func<NpgsqlBinaryExporter, T> read)
    {
        List<T> rows = new(AtOnce);
        while (rows.Count < AtOnce && export.StartRow() >= 0) rows.Add(read(export));
        return rows;
    }

    // What Marten writes beside every entry is the same for all of a kind, and only by it does Marten load them.
    static readonly string Beside = $"coalesce(tenant_id = '*DEFAULT*' and data = '{{}}' and mt_dotnet_type = case type {string.Concat(
        StreamKind.All.Values.Select(k => $"when '{k.Name}-entry-1' then '{k.Stored.FullName}, {k.Stored.Assembly.GetName().Name}' "))}else mt_dotnet_type end, false)";

    static EventRow Event(NpgsqlBinaryExporter row) => new(
        row.Read<long>(NpgsqlDbType.Bigint), Text(row) ?? "", row.Read<long>(NpgsqlDbType.Bigint), Bytes(row), Text(row) ?? "", Skipped(row) || row.Read<bool>(NpgsqlDbType.Boolean),
        row.Read<bool>(NpgsqlDbType.Boolean));

    static LeafRow Leaf(NpgsqlBinaryExporter row) => new(
        row.Read<long>(NpgsqlDbType.Bigint), Number(row), Text(row), Number(row),
        new LogRecord(Hash.FromBytes(row.Read<byte[]>(NpgsqlDbType.Bytea)), Hash.FromBytes(row.Read<byte[]>(NpgsqlDbType.Bytea))));

    static string? Text(NpgsqlBinaryExporter row) => Skipped(row) ? null : row.Read<string>(NpgsqlDbType.Text);

    static byte[]? Bytes(NpgsqlBinaryExporter row) => Skipped(row) ? null : row.Read<byte[]>(NpgsqlDbType.Bytea);

    static long? Number(NpgsqlBinaryExporter row) => Skipped(row) ? null : row.Read<long>(NpgsqlDbType.Bigint);

    static bool Skipped(NpgsqlBinaryExporter row)
    {
        if (!row.IsNull) return false;
        row.Skip();
        return true;
    }
}
