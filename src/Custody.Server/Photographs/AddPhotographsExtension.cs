namespace Custody.Server.Photographs;

public static class AddPhotographsExtension
{
    /// <summary>Registers <see cref="PictureStores"/>, <see cref="PictureDoor"/>, <see cref="DocumentDoor"/>, <see cref="Thumbnails"/> and
    /// <see cref="Decoder"/>, each once per process. Sweeps what a crash left half written in the folder.</summary>
    public static IServiceCollection AddPhotographs(this IServiceCollection services, PhotographOptions options) => services
      .AddSingleton(options)
      .AddSingleton(_ => new Decoder(options.ConcurrentDecodings))
      .AddSingleton(_ => options.S3 is { } s3 ? InBucket(s3) : InFolder(options.Folder))
      .AddSingleton<PictureDoor>()
      .AddSingleton<DocumentDoor>()
      .AddSingleton<Thumbnails>();

    static PictureStores InBucket(S3Options s3)
    {
        var client = S3PictureStore.Client(s3);
        return new(new S3PictureStore(client, s3.Bucket, "originals"), new S3PictureStore(client, s3.Bucket, "released"),
          new S3PictureStore(client, s3.Bucket, "documents"));
    }

    static PictureStores InFolder(string folder)
    {
        FolderPictureStore Store(string name)
        {
            var store = new FolderPictureStore(Path.Combine(folder, name));
            store.SweepIncoming();
            return store;
        }
        return new(Store("originals"), Store("released"), Store("documents"));
    }
}
