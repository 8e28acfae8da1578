using System.Globalization;
using System.Security.Cryptography;
using Custody.Bats;
using Custody.Ledger;
using Custody.Transparency;

namespace Custody.Server.Auditing;

/// <summary>One row of the event table.</summary>
/// <param name="IsPlain">Whether the columns that Marten alone needs say what they say of every entry.</param>
readonly record struct EventRow(long SeqId, string Stream, long Version, byte[]? Bytes, string Type, bool IsArchived, bool IsPlain)
{
    public string Where => string.Create(CultureInfo.InvariantCulture, $"mt_events seq_id {SeqId} ({Stream} {Version})");
}

/// <summary>What a row's bytes say, by which everything else is judged.</summary>
/// <param name="Hash">SHA-256 of the bytes; for an entry that is gone the hash that stands in its place.</param>
/// <param name="Prev">Hash of the entry before, as this one holds it.</param>
/// <param name="IsGone">The row stands for an entry that was lost.</param>
/// <param name="IsRead">Whether the bytes could be read; otherwise stream and number are the columns'.</param>
readonly record struct EventLook(EventRow Row, string Stream, long N, Hash Hash, string? Prev, DateTimeOffset Recorded, int Rules, bool IsGone, bool IsRead);

/// <summary>Looks at one row alone: are the bytes an entry, and do the columns beside them say the same. Safe from several threads.</summary>
sealed class EventLooking(string origin, Findings findings, PictureNames pictures)
{
    public EventLook Look(EventRow row)
    {
        if (row.Bytes is not { } bytes)
        {
            findings.Fault("entry-bytes-missing", row.Where, "the row holds no entry.");
            return new(row, row.Stream, row.Version, default, null, default, 0, false, false);
        }
        if (!row.IsPlain) findings.Fault("row-columns", row.Where, "the columns beside the bytes are not those of an entry: it would not be loaded, or as something else.");
        if (row.IsArchived) findings.Fault("row-archived", row.Where, "the row is marked as archived, which hides it from the projections.");
        try
        {
            return Gone.IsOne(bytes) ? LookAtGone(row, bytes) : LookAt(row, EntryForm.Read(bytes));
        }
        catch (Malformed fault)
        {
            findings.Fault("entry-form", row.Where, $"the bytes are no well-formed entry: {fault.Sentence}");
            return new(row, row.Stream, row.Version, Hash.FromBytes(SHA256.HashData(bytes)), null, default, 0, false, false);
        }
    }

    EventLook LookAt(EventRow row, EntryForm form)
    {
        var at = form.Envelope;
        var stream = at.Stream.ToString();
        if (stream != row.Stream) findings.Fault("row-stream", row.Where, $"the entry is one of {stream}.");
        if (at.N != row.Version) findings.Fault("row-number", row.Where, string.Create(CultureInfo.InvariantCulture, $"the entry is number {at.N}."));
        if (at.Ledger != origin) findings.Fault("entry-ledger", row.Where, $"the entry is of the ledger {at.Ledger}.");
        LookAtType(row, at.Stream.Kind);
        pictures.Note(form.Body, row);
        return new(row, stream, at.N, Hash.Parse(form.Hash), at.Prev, at.Recorded, at.Rules, false, true);
    }

    EventLook LookAtGone(EventRow row, byte[] bytes)
    {
        var gone = Gone.Read(bytes);
        if (gone.N != row.Version) findings.Fault("row-number", row.Where, string.Create(CultureInfo.InvariantCulture, $"the line stands for entry {gone.N}."));
        if (StreamName.TryParse(row.Stream, out var stream)) LookAtType(row, stream.Kind);
        return new(row, row.Stream, gone.N, Hash.Parse(gone.Hash), null, default, 0, true, true);
    }

    void LookAtType(EventRow row, string kind)
    {
        if (row.Type.Length != kind.Length + 8 || !row.Type.StartsWith(kind, StringComparison.Ordinal) || !row.Type.EndsWith("-entry-1", StringComparison.Ordinal))
            findings.Fault("row-type", row.Where, $"the column type says {row.Type}.");
    }
}
