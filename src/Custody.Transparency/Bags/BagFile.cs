namespace Custody.Transparency;

/// <summary>One file to be packed.</summary>
/// <param name="Path">Below the bag's folder, with slashes; beginning <c>data/</c> for payload, otherwise a tag file.</param>
/// <param name="Open">Opens its content; called twice and must give the same bytes.</param>
public sealed record BagFile(string Path, Func<Stream> Open)
{
    /// <summary>A file held in memory.</summary>
    public static BagFile Of(string path, byte[] bytes) => new(path, () => new MemoryStream(bytes, writable: false));

    internal bool IsPayload => Path.StartsWith(BagText.Payload, StringComparison.Ordinal);
}
