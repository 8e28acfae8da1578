namespace Custody.Bats;

/// <summary>Claims on the bat, and reports that it is missing.</summary>
public sealed record Claims;
