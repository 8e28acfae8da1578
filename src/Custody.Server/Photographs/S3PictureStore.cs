using Amazon.Runtime;
using Amazon.S3;
using Amazon.S3.Model;

namespace Custody.Server.Photographs;

/// <summary>Where an S3-compatible store is and how it is spoken to.</summary>
/// <param name="Endpoint">Absolute address, such as `https://s3.example.org`.</param>
/// <param name="Bucket">An existing bucket.</param>
/// <param name="PathStyle">True: `endpoint/bucket/key` (most self-hosted stores). False: `bucket.endpoint/key`.</param>
/// <param name="Region">The region to sign for; any word most self-hosted stores accept.</param>
public sealed record S3Options(string Endpoint, string Bucket, string AccessKey, string SecretKey, bool PathStyle = true, string Region = "us-east-1");

/// <summary>
/// Files as objects `prefix/ab/cd/abcd...` of a bucket, for more than one server node. The request signature covers the SHA-256
/// of the body, so the store refuses bytes damaged on the way in; reads are verified here like any other.
/// </summary>
public sealed class S3PictureStore(IAmazonS3 client, string bucket, string prefix) : IPictureStore
{
    /// <summary>A client for any S3-compatible store.</summary>
    /// <exception cref="ArgumentException">The endpoint is not an absolute http or https address.</exception>
    public static IAmazonS3 Client(S3Options options)
    {
        if (!Uri.TryCreate(options.Endpoint, UriKind.Absolute, out var address) || address.Scheme is not ("http" or "https"))
            throw new ArgumentException($"The S3 endpoint \"{options.Endpoint}\" is not an absolute http or https address.", nameof(options));
        return new AmazonS3Client(new BasicAWSCredentials(options.AccessKey, options.SecretKey), new AmazonS3Config
        {
            ServiceURL = options.Endpoint,
            ForcePathStyle = options.PathStyle,
            AuthenticationRegion = options.Region,
            // Newer checksum trailers are not understood by every compatible store; the signed body hash does their work here.
            RequestChecksumCalculation = RequestChecksumCalculation.WHEN_REQUIRED,
            ResponseChecksumValidation = ResponseChecksumValidation.WHEN_REQUIRED,
        });
    }

    /// <summary>The object's key inside the bucket.</summary>
    public string KeyOf(ContentHash hash) => $"{prefix}/{hash.Hex[..2]}/{hash.Hex[2..4]}/{hash.Hex}";

    public async Task<ContentHash> Put(ReadOnlyMemory<byte> bytes, CancellationToken ct = default)
    {
        var hash = ContentHash.Of(bytes.Span);
        // Written again even if present: the same bytes, and a damaged copy is replaced.
        await PutAs(hash, bytes, ct);
        return hash;
    }

    public async Task PutAs(ContentHash name, ReadOnlyMemory<byte> bytes, CancellationToken ct = default)
    {
        using var body = new MemoryStream(bytes.ToArray(), writable: false);
        await client.PutObjectAsync(new PutObjectRequest
        {
            BucketName = bucket,
            Key = KeyOf(name),
            InputStream = body,
            ContentType = "application/octet-stream",
            UseChunkEncoding = false,
            DisablePayloadSigning = false,
        }, ct);
    }

    public async Task<Stream?> Open(ContentHash hash, bool verify = true, CancellationToken ct = default)
    {
        try
        {
            var answer = await client.GetObjectAsync(bucket, KeyOf(hash), ct);
            return verify ? new VerifyingStream(answer.ResponseStream, hash) : answer.ResponseStream;
        }
        catch (AmazonS3Exception missing) when (missing.StatusCode == System.Net.HttpStatusCode.NotFound && missing.ErrorCode != "NoSuchBucket")
        {
            return null;
        }
    }

    public async Task<bool> Has(ContentHash hash, CancellationToken ct = default)
    {
        try
        {
            await client.GetObjectMetadataAsync(bucket, KeyOf(hash), ct);
            return true;
        }
        // A HEAD answer has no body, so a missing bucket looks like a missing object here; Put and Open tell them apart.
        catch (AmazonS3Exception missing) when (missing.StatusCode == System.Net.HttpStatusCode.NotFound)
        {
            return false;
        }
    }
}
