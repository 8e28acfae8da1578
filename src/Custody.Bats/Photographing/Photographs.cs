namespace Custody.Bats;

/// <summary>Photographs recorded of this bat.</summary>
public sealed record Photographs;
