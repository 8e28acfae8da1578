namespace Custody.Bats;

/// <summary>Every sale of this bat.</summary>
public sealed record Sales;
