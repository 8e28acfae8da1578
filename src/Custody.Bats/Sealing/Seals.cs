namespace Custody.Bats;

/// <summary>Physical, numbered seals on the bat's packing.</summary>
public sealed record Seals;
