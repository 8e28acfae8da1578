using System.Text;
using Custody.Server.Photographs;
using Custody.Server.Private;

namespace Custody.Server.Tests.Photographs;

public sealed class CoveredStoreTests : IDisposable
{
    const string Una = "party/00000000000000000000000008";
    const string Vic = "party/0000000000000000000000000C";
    readonly string folder = Path.Combine(Path.GetTempPath(), "custody-covered-" + Guid.NewGuid().ToString("N"));
    readonly FolderPictureStore inner;
    readonly KeyRing keys;
    readonly CoveredStore store;

    public CoveredStoreTests()
    {
        (inner, keys) = (new(Path.Combine(folder, "documents")), new(Path.Combine(folder, "keys")));
        store = new(inner, keys, "documents");
        keys.KeyOf(Una);
        keys.KeyOf(Vic);
    }

    public void Dispose() => Directory.Delete(folder, recursive: true);

    static CancellationToken Ct => TestContext.Current.CancellationToken;
    static readonly byte[] Paper = "Bill of sale, Una Marl to Vic Thorn"u8.ToArray();

    IReadOnlyList<string> Stored => [.. Directory.EnumerateFiles(Path.Combine(folder, "documents"), "*", SearchOption.AllDirectories)];

    [Fact]
    public async Task A_paper_is_read_back_by_the_hash_of_its_plain_bytes_and_stands_nowhere_in_plain_nor_under_that_hash()
    {
        var hash = (await store.Put(Paper, ct: Ct))!.Value;
        Assert.Equal(ContentHash.Of(Paper), hash);
        Assert.Equal(Paper, await store.Read(hash, Ct));
        Assert.DoesNotContain(hash.Hex, string.Join('\n', Stored), StringComparison.Ordinal);
        Assert.DoesNotContain(Stored, f => File.ReadAllBytes(f).AsSpan().IndexOf("Una Marl"u8) >= 0);
    }

    [Fact]
    public async Task Without_the_rings_secret_a_name_cannot_be_made_to_confirm_a_guessed_paper()
    {
        await store.Put(Paper, ct: Ct);
        var other = new CoveredStore(inner, new KeyRing(Path.Combine(folder, "other-keys")), "documents");
        Assert.False(await other.Has(ContentHash.Of(Paper), Ct));
        Assert.False(await new CoveredStore(inner, keys, "originals").Has(ContentHash.Of(Paper), Ct));
    }

    [Fact]
    public async Task The_same_paper_for_one_subject_is_kept_once_and_goes_with_its_key()
    {
        var hash = (await store.Put(Paper, Una, Ct))!.Value;
        await store.Put(Paper, Una, Ct);
        Assert.Single(Stored);
        keys.Destroy(Una);
        Assert.Null(await store.Read(hash, Ct));
        Assert.False(await store.Has(hash, Ct));
        Assert.True(await store.WasErased(hash, Ct));
        Assert.Null(await store.Put(Paper, Una, Ct));
    }

    [Fact]
    public async Task A_paper_that_concerns_two_is_kept_for_the_one_who_stays()
    {
        var hash = (await store.Put(Paper, Una, Ct))!.Value;
        await store.Put(Paper, Vic, Ct);
        Assert.Equal(2, Stored.Count);
        keys.Destroy(Una);
        Assert.Equal(Paper, await store.Read(hash, Ct));
        Assert.False(await store.WasErased(hash, Ct));
        keys.Destroy(Vic);
        Assert.Null(await store.Read(hash, Ct));
    }

    [Fact]
    public async Task A_file_that_was_erased_by_its_own_key_does_not_come_back()
    {
        var hash = (await store.Put(Paper, ct: Ct))!.Value;
        keys.Destroy(CoveredStore.SubjectOf(hash));
        Assert.Null(await store.Put(Paper, ct: Ct));
        Assert.Null(await store.Read(hash, Ct));
    }

    [Fact]
    public async Task A_party_without_a_key_gets_none_by_being_named()
    {
        Assert.Null(await store.Put(Paper, "party/0000000000000000000000000G", Ct));
        Assert.Empty(Stored);
        Assert.Null(keys.Find(keys.IdOf("party/0000000000000000000000000G")));
    }

    [Theory]
    [InlineData(0)]
    [InlineData(20)]
    [InlineData(50)]
    [InlineData(-1)]
    public async Task A_changed_byte_is_damage_never_an_absence_and_putting_the_file_again_mends_it(int at)
    {
        var hash = (await store.Put(Paper, ct: Ct))!.Value;
        var bytes = await File.ReadAllBytesAsync(Stored[0], Ct);
        bytes[at < 0 ? ^1 : at] ^= 1;
        await File.WriteAllBytesAsync(Stored[0], bytes, Ct);
        Assert.False(await store.WasErased(hash, Ct));
        await Assert.ThrowsAsync<PictureDamagedException>(() => store.Read(hash, Ct));
        await store.Put(Paper, ct: Ct);
        Assert.Equal(Paper, await store.Read(hash, Ct));
    }

    [Fact]
    public async Task Several_who_put_one_paper_at_once_all_find_it()
    {
        await Task.WhenAll(Enumerable.Range(0, 8).Select(i => store.Put(Paper, i % 2 == 0 ? Una : null, Ct)));
        Assert.Equal(Paper, await store.Read(ContentHash.Of(Paper), Ct));
        Assert.InRange(Stored.Count, 1, 2);
    }
}
