namespace Custody.Bats;

/// <summary>Every opinion given on or reported of this bat.</summary>
public sealed record Opinions;
