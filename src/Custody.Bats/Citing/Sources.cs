namespace Custody.Bats;

/// <summary>Sources cited for this bat.</summary>
public sealed record Sources;
