namespace Custody.Bats;

/// <summary>Comparisons of a picture with the bat.</summary>
public sealed record PictureComparisons;
