namespace Custody.Bats;

/// <summary>What was done to the bat.</summary>
public sealed record Treatments;
