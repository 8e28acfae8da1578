namespace Custody.Bats;

/// <summary>Searches of theft lists and registers, and stated gaps.</summary>
public sealed record Searches;
