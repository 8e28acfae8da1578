using Custody.Server.Private;

namespace Custody.Server.Photographs;

public static class AddPhotographsExtension
{
    /// <summary>Registers <see cref="PictureStores"/>, <see cref="PictureDoor"/>, <see cref="DocumentDoor"/>, <see cref="Thumbnails"/> and
    /// <see cref="Decoder"/>, each once per process, over a <see cref="KeyRing"/> registered elsewhere. Sweeps what a crash left half written in the folder.</summary>
    public static IServiceCollection AddPhotographs(this IServiceCollection services, PhotographOptions options) => services
      .AddSingleton(options)
      .AddSingleton(_ => new Decoder(options.ConcurrentDecodings))
      .AddSingleton(s => options.S3 is { } s3 ? InBucket(s3, s.GetRequiredService<KeyRing>()) : InFolder(options.Folder, s.GetRequiredService<KeyRing>()))
      .AddSingleton<PictureDoor>()
      .AddSingleton<DocumentDoor>()
      .AddSingleton<Thumbnails>();

    static PictureStores InBucket(S3Options s3, KeyRing keys)
    {
        var client = S3PictureStore.Client(s3);
        return Covered(name => new S3PictureStore(client, s3.Bucket, name), keys);
    }

    static PictureStores InFolder(string folder, KeyRing keys)
    {
        return Covered(name =>
        {
            var store = new FolderPictureStore(Path.Combine(folder, name));
            store.SweepIncoming();
            return store;
        }, keys);
    }

    static PictureStores Covered(Func<string, IPictureStore> store, KeyRing keys) => new(
      new CoveredStore(store("originals"), keys, "originals"), store("released"), new CoveredStore(store("documents"), keys, "documents"));
}
