using Custody.Server.Configuring;

namespace Custody.Server.Photographs;

/// <summary>Where files are kept and how large they may be. Sizes in bytes and pixels.</summary>
public sealed record PhotographOptions
{
    /// <summary>Folder for thumbnails, and for the files themselves unless S3 is set.</summary>
    public required string Folder { get; init; }

    /// <summary>Set: originals, released copies and documents go to this bucket instead of the folder.</summary>
    public S3Options? S3 { get; init; }

    public long MaxPictureBytes { get; init; } = 50 * 1_048_576;
    public long MaxDocumentBytes { get; init; } = 25 * 1_048_576;

    /// <summary>Pictures decoded at once in this process. Each may take 512 MiB, so 1 unless the machine is large.</summary>
    public int ConcurrentDecodings { get; init; } = 1;

    /// <summary>
    /// Reads section `Photographs`: Folder, MaxPictureBytes, MaxDocumentBytes, ConcurrentDecodings, and S3 (Endpoint, Bucket,
    /// AccessKey, SecretKey, PathStyle, Region). Keys usually come from the environment (`Photographs__S3__SecretKey`).
    /// </summary>
    /// <exception cref="SettingFault">A part is missing or not a number; the sentence says which.</exception>
    public static PhotographOptions From(IConfiguration configuration, string defaultFolder)
    {
        try
        {
            return Read(configuration, defaultFolder);
        }
        catch (InvalidOperationException unread)
        {
            throw new SettingFault($"CUSTODY_Photographs: {unread.Message}", unread);
        }
    }

    static PhotographOptions Read(IConfiguration configuration, string defaultFolder)
    {
        var section = configuration.GetSection("Photographs");
        var options = new PhotographOptions { Folder = section["Folder"] ?? defaultFolder, S3 = S3From(section.GetSection("S3")) };
        return options with
        {
            MaxPictureBytes = section.GetValue("MaxPictureBytes", options.MaxPictureBytes),
            MaxDocumentBytes = section.GetValue("MaxDocumentBytes", options.MaxDocumentBytes),
            ConcurrentDecodings = section.GetValue("ConcurrentDecodings", options.ConcurrentDecodings),
        };
    }

    static S3Options? S3From(IConfigurationSection s3)
    {
        if (!s3.Exists()) return null;
        string Needed(string key) => s3[key] is { Length: > 0 } value
          ? value
          : throw new InvalidOperationException($"Photographs:S3:{key} is not set. An S3 store needs Endpoint, Bucket, AccessKey and SecretKey.");
        return new(Needed("Endpoint"), Needed("Bucket"), Needed("AccessKey"), Needed("SecretKey"),
          s3.GetValue("PathStyle", true), s3["Region"] ?? "us-east-1");
    }
}
