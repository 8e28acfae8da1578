namespace Custody.Bats;

/// <summary>Stands in a reading where an entry of a bat is gone (lost, and back from the log as a hash alone): its place is kept, it says nothing
/// and moves nothing. Never recorded, and no event type.</summary>
public sealed record EntryGone : BatFact
{
    /// <summary>The entry that takes the place of number <paramref name="n"/>.</summary>
    /// <param name="before">The entry before it; null when the first is gone too.</param>
    /// <param name="hash">Entry hash, as the log has it.</param>
    public static Entry At(string ledger, StreamName stream, long n, string hash, Entry? before) => new(
        new(ledger, before?.Envelope.Rules ?? 1, stream, n, before?.Hash, before?.Envelope.Recorded ?? DateTimeOffset.UnixEpoch, null, null), new EntryGone(), hash);

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited) => [new("entry-gone", "An entry that is gone is not recorded.", "Record what happened.")];

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat;
}
