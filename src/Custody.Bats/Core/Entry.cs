using Custody.Evidence;

namespace Custody.Bats;

/// <summary>The members of an entry around its body. <see cref="Recorded"/> is UTC to the second.</summary>
/// <param name="Ledger">Origin: the name of the ledger.</param>
/// <param name="Rules">Number of the rule set this was decided under.</param>
/// <param name="N">Number in its stream, from 1.</param>
/// <param name="Prev">Hash of entry n-1; null exactly when n is 1.</param>
/// <param name="Occurred">When it is said to have happened; null when not said.</param>
/// <param name="By">Who acted; null stands for the ledger itself.</param>
public sealed record Envelope(
    string Ledger, int Rules, StreamName Stream, long N, string? Prev, DateTimeOffset Recorded, Edtf? Occurred, Alias? By);

/// <summary>One entry of a stream: envelope, fact and entry hash (43 base64url characters).</summary>
public sealed record Entry(Envelope Envelope, Fact Fact, string Hash)
{
    public long N => Envelope.N;

    /// <summary>A reference to this entry from the same ledger.</summary>
    public Reference Reference => new(null, Envelope.Stream, Envelope.N, Hash);
}
