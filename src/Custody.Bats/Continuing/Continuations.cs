namespace Custody.Bats;

/// <summary>Where this history goes on from, or goes on in, another house's ledger.</summary>
public sealed record Continuations;
