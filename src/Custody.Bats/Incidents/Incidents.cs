namespace Custody.Bats;

/// <summary>Damage and loss.</summary>
public sealed record Incidents;
