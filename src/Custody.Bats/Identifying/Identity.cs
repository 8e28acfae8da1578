namespace Custody.Bats;

/// <summary>Which piece of wood this is: baselines, checks, duplicates, mix-ups, division, destruction.</summary>
public sealed record Identity
{
    /// <summary>Why the record of this bat does not go on here, or null while it does.</summary>
    public Refusal? End { get; init; }
}
