using Custody.Server.Photographs;
using Custody.Server.Private;
using Microsoft.Extensions.DependencyInjection;

namespace Custody.Server.Tests.Photographs;

/// <summary>The photograph services over a fresh folder, removed at the end.</summary>
sealed class PictureRoom : IDisposable
{
    // The library's limits belong to the process: one decoder for all tests, as in the server.
    static readonly Decoder Shared = new();

    public string Folder { get; } = Path.Combine(Path.GetTempPath(), "custody-pictures-" + Guid.NewGuid().ToString("N"));
    public PictureStores Stores { get; }
    public PictureDoor Pictures { get; }
    public DocumentDoor Documents { get; }
    public Thumbnails Thumbnails { get; }

    public PictureRoom(long maxBytes = 50 * 1_048_576)
    {
        var options = new PhotographOptions { Folder = Folder, MaxPictureBytes = maxBytes, MaxDocumentBytes = maxBytes };
        var services = new ServiceCollection().AddPhotographs(options).AddSingleton(new KeyRing(Folder + "-keys")).AddSingleton(Shared).BuildServiceProvider();
        Stores = services.GetRequiredService<PictureStores>();
        Pictures = services.GetRequiredService<PictureDoor>();
        Documents = services.GetRequiredService<DocumentDoor>();
        Thumbnails = services.GetRequiredService<Thumbnails>();
    }

    public Task<PictureAnswer> Receive(byte[] bytes, string? name = null, string? type = null) =>
      Pictures.Receive(new MemoryStream(bytes), name, type, TestContext.Current.CancellationToken);

    /// <summary>Every file below the folder, stores and temporary ones alike.</summary>
    public IReadOnlyList<string> Files() => [.. Directory.EnumerateFiles(Folder, "*", SearchOption.AllDirectories).Order(StringComparer.Ordinal)];

    public void Dispose()
    {
        Directory.Delete(Folder, recursive: true);
        Directory.Delete(Folder + "-keys", recursive: true);
    }
}
