using Custody.Bats;
using Custody.Server.Log;
using Custody.Server.Recording;
using Custody.Transparency;

namespace Custody.Server.Labels;

/// <summary>Issues labels and makes their faces. A label is only given out once its entry is under a published checkpoint.</summary>
public sealed class LabelDesk(Recorder recorder, Histories histories, BatFinder bats, LogDesk log)
{
    static readonly TimeSpan LongestWait = TimeSpan.FromSeconds(30);

    /// <summary>Issues one label for the bat and gives its face.</summary>
    /// <param name="by">Who affixes it; null for the present custodian.</param>
    /// <param name="host">Host name in its address; stands withheld in the entry.</param>
    /// <param name="house">Name printed on it.</param>
    public async Task<(LabelFace? Face, Refusal? Refused)> Issue(
        Bat bat, PartyId? by, LabelForm form, LabelPlace affixed, string host, string house, string? idempotencyKey, CancellationToken ct)
    {
        var stream = StreamName.Parse(bat.Id);
        by ??= bat.Keeping.Custodian is { } custodian ? await bats.Behind(stream, custodian, ct) : null;
        if (by is null)
            return (null, new("label-by-whom", "Nobody keeps the bat now who could affix a label.", "Say who issues it, with --by."));
        var outcome = await recorder.Record(stream, new IssueLabel(form, affixed, host, null) { By = by }, new Request(idempotencyKey), ct);
        return outcome switch
        {
            Recorded recorded => (await FaceOf(stream, recorded.Entries[0].N, bat.Registration!, house, ct), null),
            Refused refused => (null, refused.Refusals[0]),
            _ => (null, new("conflict", "Another act on this bat came first. Nothing was recorded.", "Try again.")),
        };
    }

    /// <summary>The face of a label already issued.</summary>
    public async Task<LabelFace> FaceOf(StreamName stream, long n, Registration registration, string house, CancellationToken ct)
    {
        await log.Covering(stream.ToString(), n, LongestWait, ct);
        var entry = (await histories.Shown(stream, ct))[(int)n - 1];
        if (entry.Fact is not LabelIssued issued) throw new ArgumentException($"Entry {n} of {stream} issues no label.", nameof(n));
        return new LabelFace(
            $"https://{issued.Host!.Value.ToUpperInvariant()}/L/{LabelToken.Of(entry.Hash)}", registration.ShortNumber, house,
            issued.Serial.ToString(System.Globalization.CultureInfo.InvariantCulture));
    }
}

/// <summary>What a label's address ends in: the first 128 bits of the hash of the entry that issued it, so that it commits to the history before it.</summary>
public static class LabelToken
{
    public static string Of(string entryHash) => Crockford.Encode(Hash.Parse(entryHash).ToArray().AsSpan(0, 16));
}
