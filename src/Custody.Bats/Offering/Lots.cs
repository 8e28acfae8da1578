namespace Custody.Bats;

/// <summary>Every lot this bat stood in.</summary>
public sealed record Lots;
