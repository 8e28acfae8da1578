using Custody.Server.Private;
using Custody.Server.Recording;

namespace Custody.Server.Photographs;

public static class AddPhotographsExtension
{
    /// <summary>Registers <see cref="PictureStores"/>, <see cref="PictureDoor"/>, <see cref="DocumentDoor"/>, <see cref="Thumbnails"/> and
    /// <see cref="Decoder"/>, each once per process, over a <see cref="KeyRing"/> registered elsewhere. Sweeps what a crash left half written in the folder.</summary>
    public static IServiceCollection AddPhotographs(this IServiceCollection services, PhotographOptions options) => services
      .AddSingleton(options)
      .AddSingleton(_ => new Decoder(options.ConcurrentDecodings))
      .AddSingleton(s => Covered(
          options.S3 is { } s3 ? InBucket(s3) : (name => InFolder(Path.Combine(options.Folder, name))), s.GetRequiredService<KeyRing>(),
          s.GetService<LedgerPlace>() is { } place ? NodeTurns.In(place.DataFolder) : null))
      .AddSingleton<PictureDoor>()
      .AddSingleton<DocumentDoor>()
      .AddSingleton<Thumbnails>();

    static Func<string, IPictureStore> InBucket(S3Options s3)
    {
        var client = S3PictureStore.Client(s3);
        return name => new S3PictureStore(client, s3.Bucket, name);
    }

    static FolderPictureStore InFolder(string folder)
    {
        var store = new FolderPictureStore(folder);
        store.SweepIncoming();
        return store;
    }

    static PictureStores Covered(Func<string, IPictureStore> store, KeyRing keys, NodeTurns? turns) => new(
      new CoveredStore(store("originals"), keys, "originals", turns), store("released"), new CoveredStore(store("documents"), keys, "documents", turns));
}
