namespace Custody.Bats;

/// <summary>Labels issued for this bat.</summary>
public sealed record Labels;
