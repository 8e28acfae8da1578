using System.Globalization;
using System.Text;
using Custody.Server.Log;
using Custody.Transparency;
using Npgsql;

namespace Custody.Server.Auditing;

/// <summary>Every checkpoint ever signed, as file and as row, by size: each is signed by the key that counted then, and says the root that the leaves give.</summary>
sealed class SignedCheckpoints
{
    readonly string folder;
    readonly KeyHistory keys;
    readonly Findings findings;
    readonly long[] files;
    readonly List<CheckpointRow> rows = [];
    int nextFile, nextRow;
    (long Size, DateTimeOffset Time) latest;

    // By how much the clocks of two nodes may differ (common practice).
    static readonly TimeSpan Lead = TimeSpan.FromMinutes(5);

    SignedCheckpoints(string folder, KeyHistory keys, Findings findings, long[] files) =>
        (this.folder, this.keys, this.findings, this.files) = (folder, keys, findings, files);

    /// <summary>How many sizes were compared.</summary>
    public long Compared { get; private set; }

    /// <summary>The largest size that was compared, and the root that the leaves give for it.</summary>
    public (long Size, Hash Root)? Last { get; private set; }

    /// <summary>Size of the newest file; 0 when there is none.</summary>
    public long Newest => files.Length > 0 ? files[^1] : 0;

    /// <summary>The files that are there now. Asked before the database is looked at: what is signed later is not judged.</summary>
    public static long[] Files(string folder) => In(folder).Sizes();

    public static async Task<SignedCheckpoints> Open(Snapshot snapshot, string folder, long[] files, KeyHistory keys, Findings findings, DateTimeOffset now, CancellationToken ct)
    {
        var all = new SignedCheckpoints(folder, keys, findings, files);
        all.LookAtLast();
        await using var command = new NpgsqlCommand($"select size, root, note, signed from {snapshot.Schema}.custody_checkpoint order by size", snapshot.First);
        await using var reader = await command.ExecuteReaderAsync(ct);
        while (await reader.ReadAsync(ct)) all.Add(CheckpointRow.Of(reader.GetInt64(0), reader.GetFieldValue<byte[]>(1), reader.GetString(2)), reader.GetFieldValue<DateTimeOffset>(3), now);
        return all;
    }

    // The note names no time; heads repeat the row's. So all that can be said of it is that sizes and times grow together, and that none is still to come:
    // neither by this clock nor by the file, which may have been made while another clock was asked.
    void Add(CheckpointRow row, DateTimeOffset signed, DateTimeOffset now)
    {
        if (signed < latest.Time)
            findings.Fault("checkpoint-time", $"{Row(latest.Size)}, {Row(row.Size)}", "the smaller one is dated after the larger.");
        else if (signed > now + Lead && signed > File.GetLastWriteTimeUtc(PathOf(row.Size)) + Lead) findings.Fault("checkpoint-time", Row(row.Size), "it is dated in the future.");
        if (signed >= latest.Time) latest = (row.Size, signed);
        rows.Add(row);
    }

    // The file that the next start is held against must be the newest of them all.
    void LookAtLast()
    {
        var last = Path.Combine(folder, "checkpoint");
        if (files.Length == 0 && !File.Exists(last)) return;
        if (!File.Exists(last)) findings.Fault("checkpoint-last", last, "the file is missing.");
        else if (files.Length == 0 || !File.ReadAllBytes(last).AsSpan().SequenceEqual(File.ReadAllBytes(PathOf(files[^1]))))
        {
            // One more may have been signed while we looked.
            if (Files(folder).LastOrDefault() <= Newest) findings.Fault("checkpoint-last", last, "the file is not the newest checkpoint signed.");
        }
    }

    /// <summary>Compares what was signed at this size.</summary>
    public void At(long size, Func<Hash> root, TilesOnDisk tiles)
    {
        while (nextRow < rows.Count && rows[nextRow].Size < size) Lost(rows[nextRow++]);
        var file = nextFile < files.Length && files[nextFile] == size ? PathOf(files[nextFile++]) : null;
        var row = nextRow < rows.Count && rows[nextRow].Size == size ? rows[nextRow++] : (CheckpointRow?)null;
        if (file is null && row is null) return;
        Compared++;
        var given = root();
        Last = (size, given);
        var bytes = file is null ? null : File.ReadAllBytes(file);
        if (file is null) findings.Fault("checkpoint-file-missing", PathOf(size), "the database has a checkpoint of this size, the folder has none.");
        else LookAt(file, bytes, size, given);
        // The newest file is ahead of its row for a moment at each publication; the next start makes the row.
        if (row is not { } r)
        {
            if (nextFile < files.Length) findings.Fault("checkpoint-row-missing", Row(size), "the folder has a checkpoint of this size, the database has none.");
        }
        else LookAt(r, bytes, given);
        if (size == Newest) tiles.AtNewest();
    }

    void LookAt(CheckpointRow row, byte[]? file, Hash given)
    {
        if (row.Root != given) findings.Fault("checkpoint-root", Row(row.Size), "the leaves give another root.");
        if (file is not null && Hash.Of(file) != row.Note) findings.Fault("checkpoint-other", Row(row.Size), "the note in the database is not the one in the file.");
    }

    void LookAt(string where, ReadOnlySpan<byte> bytes, long size, Hash given)
    {
        try
        {
            var note = SignedNote.Parse(bytes);
            var checkpoint = Checkpoint.Read(note);
            if (checkpoint.Size != size) findings.Fault("checkpoint-other", where, string.Create(CultureInfo.InvariantCulture, $"it is one of size {checkpoint.Size}."));
            else if (checkpoint.Root != given) findings.Fault("checkpoint-root", where, "the leaves give another root than was signed.");
            if (keys.WhyNot(note, checkpoint) is { } why) findings.Fault("checkpoint-signature", where, why);
        }
        catch (Malformed malformed)
        {
            findings.Fault("checkpoint-other", where, $"it is no checkpoint: {malformed.Sentence}");
        }
    }

    void Lost(CheckpointRow row) => findings.Fault("checkpoint-beyond", Row(row.Size), "it was signed for a size that the leaves do not have.");

    public void End(long size)
    {
        for (; nextFile < files.Length; nextFile++)
            findings.Fault("checkpoint-beyond", PathOf(files[nextFile]), string.Create(CultureInfo.InvariantCulture, $"it was signed for {files[nextFile]} leaves, there are {size}: the log lost its tail."));
        for (; nextRow < rows.Count; nextRow++) Lost(rows[nextRow]);
    }

    /// <summary>What is kept of a row until its turn: hashes only, there may be very many.</summary>
    readonly record struct CheckpointRow(long Size, Hash? Root, Hash Note)
    {
        public static CheckpointRow Of(long size, byte[] root, string note) => new(size, root.Length == Hash.Size ? Hash.FromBytes(root) : null, Hash.Of(Encoding.UTF8.GetBytes(note)));
    }

    static SizedFiles In(string folder) => new(Path.Combine(folder, "checkpoints"));

    string PathOf(long size) => In(folder).PathOf(size);

    static string Row(long size) => string.Create(CultureInfo.InvariantCulture, $"custody_checkpoint size {size}");
}
