using System.Collections.Concurrent;
using System.Security.Cryptography;
using Amazon.S3;
using Custody.Server.Photographs;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.Logging;

namespace Custody.Server.Tests.Photographs;

/// <summary>The store against a small stand-in for S3 on loopback that keeps what it is sent and checks it as S3 does.</summary>
public sealed class S3PictureStoreTests : IAsyncLifetime
{
    readonly ConcurrentDictionary<string, byte[]> objects = new();
    readonly ConcurrentQueue<(string Method, string Path, IHeaderDictionary Headers)> calls = new();
    WebApplication? server;
    S3PictureStore? store;

    static CancellationToken Ct => TestContext.Current.CancellationToken;
    static readonly byte[] Abc = "abc"u8.ToArray();
    const string AbcPath = "/bats/originals/ba/78/ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";

    public async ValueTask InitializeAsync()
    {
        var builder = WebApplication.CreateSlimBuilder();
        builder.Logging.ClearProviders();
        server = builder.Build();
        server.Urls.Add("http://127.0.0.1:0");
        server.Run(Answer);
        await server.StartAsync(Ct);
        store = new(S3PictureStore.Client(new(server.Urls.Single(), "bats", "access", "secret")), "bats", "originals");
    }

    public async ValueTask DisposeAsync() => await server!.DisposeAsync();

    async Task Answer(HttpContext http)
    {
        var (path, method) = (http.Request.Path.Value!, http.Request.Method);
        // Copied: the server takes its header table back after the answer.
        calls.Enqueue((method, path, new HeaderDictionary(http.Request.Headers.ToDictionary(h => h.Key, h => h.Value, StringComparer.OrdinalIgnoreCase))));
        if (method == "PUT") await Keep(http, path);
        else if (!objects.TryGetValue(path, out var bytes)) await Error(http, 404, path.StartsWith("/bats/", StringComparison.Ordinal) ? "NoSuchKey" : "NoSuchBucket");
        else
        {
            http.Response.ContentLength = bytes.Length;
            if (method == "GET") await http.Response.Body.WriteAsync(bytes);
        }
    }

    async Task Keep(HttpContext http, string path)
    {
        using var body = new MemoryStream();
        await http.Request.Body.CopyToAsync(body);
        var said = http.Request.Headers["x-amz-content-sha256"].ToString();
        if (said != Convert.ToHexStringLower(SHA256.HashData(body.ToArray()))) await Error(http, 400, "XAmzContentSHA256Mismatch");
        else objects[path] = body.ToArray();
    }

    static async Task Error(HttpContext http, int status, string code)
    {
        http.Response.StatusCode = status;
        http.Response.ContentType = "application/xml";
        if (http.Request.Method != "HEAD") await http.Response.WriteAsync($"<?xml version=\"1.0\"?><Error><Code>{code}</Code><Message>no</Message></Error>");
    }

    [Fact]
    public async Task The_exact_bytes_go_to_the_bucket_under_their_hash_with_a_signed_digest()
    {
        var hash = await store!.Put(Abc, Ct);
        Assert.Equal(Abc, Assert.Single(objects, o => o.Key == AbcPath).Value);
        var put = Assert.Single(calls);
        Assert.Equal(hash.Hex, put.Headers["x-amz-content-sha256"]);
        Assert.Contains("x-amz-content-sha256", put.Headers.Authorization.ToString(), StringComparison.Ordinal);
        Assert.StartsWith("AWS4-HMAC-SHA256 Credential=access/", put.Headers.Authorization.ToString(), StringComparison.Ordinal);
        Assert.Equal(("application/octet-stream", 3L), (put.Headers.ContentType.ToString(), put.Headers.ContentLength));
        Assert.DoesNotContain(put.Headers, h => h.Key.Contains("trailer", StringComparison.OrdinalIgnoreCase));
    }

    [Fact]
    public async Task What_was_put_is_read_back_and_known_to_be_there()
    {
        var hash = await store!.Put(Abc, Ct);
        Assert.Equal(Abc, await store.Read(hash, Ct));
        Assert.True(await store.Has(hash, Ct));
    }

    [Fact]
    public async Task An_object_that_is_not_there_is_null_but_a_bucket_that_is_not_there_is_an_error()
    {
        var absent = ContentHash.Of("never put"u8);
        Assert.Null(await store!.Open(absent, ct: Ct));
        Assert.False(await store.Has(absent, Ct));
        var elsewhere = new S3PictureStore(S3PictureStore.Client(new(server!.Urls.Single(), "other", "access", "secret")), "other", "originals");
        await Assert.ThrowsAsync<AmazonS3Exception>(() => elsewhere.Open(absent, ct: Ct));
    }

    [Fact]
    public async Task An_object_changed_in_the_bucket_is_never_handed_out_as_whole()
    {
        var hash = await store!.Put(Abc, Ct);
        objects[AbcPath] = "abd"u8.ToArray();
        await Assert.ThrowsAsync<PictureDamagedException>(() => store.Read(hash, Ct));
    }

    [Theory]
    [InlineData("s3.example.org")]
    [InlineData("file:///etc/passwd")]
    public void An_endpoint_that_is_no_web_address_is_refused_at_start(string endpoint) =>
      Assert.Throws<ArgumentException>(() => S3PictureStore.Client(new(endpoint, "bats", "a", "s")));
}
