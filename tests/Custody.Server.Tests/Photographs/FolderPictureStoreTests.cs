using System.Text;
using Custody.Server.Photographs;

namespace Custody.Server.Tests.Photographs;

public sealed class FolderPictureStoreTests : IDisposable
{
    readonly string folder = Path.Combine(Path.GetTempPath(), "custody-store-" + Guid.NewGuid().ToString("N"));
    readonly FolderPictureStore store;

    public FolderPictureStoreTests() => store = new(folder);
    public void Dispose() => Directory.Delete(folder, recursive: true);

    static CancellationToken Ct => TestContext.Current.CancellationToken;
    static readonly byte[] Abc = "abc"u8.ToArray();

    [Fact]
    public async Task A_file_is_kept_under_the_SHA_256_of_its_bytes_two_folders_deep()
    {
        var hash = await store.Put(Abc, Ct);
        // FIPS 180-4 example: the digest of "abc".
        Assert.Equal("ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad", hash.Hex);
        Assert.Equal("ungWv48Bz-pBQUDeXa4iI7ADYaOWF3qctBD_YfIAFa0", hash.Base64Url);
        Assert.Equal(Path.Combine(folder, "ba", "78", hash.Hex), store.PathOf(hash));
        Assert.Equal(Abc, await store.Read(hash, Ct));
    }

    [Fact]
    public async Task The_same_bytes_are_kept_once_however_many_put_them_at_once()
    {
        await Task.WhenAll(Enumerable.Range(0, 8).Select(_ => store.Put(Abc, Ct)));
        Assert.Single(Directory.EnumerateFiles(folder, "*", SearchOption.AllDirectories));
    }

    [Fact]
    public async Task A_file_that_changed_on_disk_is_never_handed_out_as_whole()
    {
        var hash = await store.Put(Abc, Ct);
        await File.WriteAllTextAsync(store.PathOf(hash), "abd", Ct);
        var thrown = await Assert.ThrowsAsync<PictureDamagedException>(() => store.Read(hash, Ct));
        Assert.Equal(hash, thrown.Hash);
        await using var unverified = await store.Open(hash, verify: false, Ct);
        Assert.Equal("abd", await new StreamReader(unverified!).ReadToEndAsync(Ct));
    }

    [Fact]
    public async Task Putting_the_good_bytes_again_mends_a_damaged_copy()
    {
        var hash = await store.Put(Abc, Ct);
        await File.WriteAllTextAsync(store.PathOf(hash), "", Ct);
        await store.Put(Abc, Ct);
        Assert.Equal(Abc, await store.Read(hash, Ct));
    }

    [Fact]
    public async Task A_file_the_store_does_not_have_is_null_not_an_error()
    {
        var absent = ContentHash.Of(Encoding.UTF8.GetBytes("never put"));
        Assert.Null(await store.Open(absent, ct: Ct));
        Assert.Null(await store.Read(absent, Ct));
        Assert.False(await store.Has(absent, Ct));
    }

    [Fact]
    public async Task What_a_crash_left_half_written_is_swept_and_nothing_else()
    {
        var hash = await store.Put(Abc, Ct);
        var (left, anothers) = (Path.Combine(folder, "incoming", "half"), Path.Combine(folder, "incoming", "in hand"));
        await File.WriteAllTextAsync(left, "ab", Ct);
        await File.WriteAllTextAsync(anothers, "ab", Ct);
        File.SetLastWriteTimeUtc(left, DateTime.UtcNow.AddDays(-2));
        new FolderPictureStore(folder).SweepIncoming();
        // What another node is receiving in this moment stays.
        Assert.Equal([store.PathOf(hash), anothers], Directory.EnumerateFiles(folder, "*", SearchOption.AllDirectories).Order(StringComparer.Ordinal));
    }

    [Fact]
    public async Task A_cancelled_put_leaves_no_half_file()
    {
        using var cancelled = new CancellationTokenSource();
        await cancelled.CancelAsync();
        await Assert.ThrowsAnyAsync<OperationCanceledException>(() => store.Put(Abc, cancelled.Token));
        Assert.Empty(Directory.EnumerateFiles(folder, "*", SearchOption.AllDirectories));
    }

    [Theory]
    [InlineData("../../../etc/passwd")]
    [InlineData("BA7816BF8F01CFEA414140DE5DAE2223B00361A396177A9CB410FF61F20015AD")]
    [InlineData("ba7816bf")]
    [InlineData("")]
    public void Only_a_hash_in_its_one_spelling_ever_names_a_file(string text) => Assert.Throws<FormatException>(() => ContentHash.Parse(text));
}
