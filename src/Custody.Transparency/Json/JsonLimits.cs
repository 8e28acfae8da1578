namespace Custody.Transparency;

/// <summary>What a reader accepts at most.</summary>
/// <param name="MaxBytes">Length of the whole text in bytes.</param>
/// <param name="MaxDepth">Arrays and objects open at once; the outermost counts as 1, a bare number or text as 0.</param>
public sealed record JsonLimits(int MaxBytes, int MaxDepth)
{
    /// <summary>16 MiB, 64 deep.</summary>
    public static JsonLimits Default { get; } = new(16 << 20, 64);

    /// <summary>One entry of the ledger: 65,536 bytes, 16 deep.</summary>
    public static JsonLimits Entry { get; } = new(65_536, 16);
}
