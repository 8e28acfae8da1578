namespace Custody.Bats;

/// <summary>Examinations of this bat, open and closed.</summary>
public sealed record Examinations;
