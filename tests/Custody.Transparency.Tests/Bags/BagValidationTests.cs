using System.Security.Cryptography;
using System.Text;

namespace Custody.Transparency.Tests;

public class BagValidationTests
{
    static string Digest(string text) => Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(text)));

    const string Declaration = "BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n";

    /// <summary>A right bag by hand, in which one file's text is then replaced, added or (null) taken away; the tag manifest follows along.</summary>
    static Bag With(string? path = null, string? text = null, bool mendTags = true)
    {
        var files = new SortedDictionary<string, string>(StringComparer.Ordinal)
        {
            ["bag-info.txt"] = "Payload-Oxum: 6.1\n",
            ["bagit.txt"] = Declaration,
            ["data/hello.txt"] = "hello\n",
            ["manifest-sha256.txt"] = $"{Digest("hello\n")}  data/hello.txt\n",
        };
        var tags = TagManifest(files);
        if (path is not null && text is null) files.Remove(path);
        if (path is not null && text is not null) files[path] = text;
        if (mendTags) tags = TagManifest(files);
        files.TryAdd("tagmanifest-sha256.txt", tags);
        return BagSamples.Forge([.. files.Select(f => (f.Key, f.Value))]);
    }

    static string TagManifest(IEnumerable<KeyValuePair<string, string>> files) => string.Concat(files
        .Where(f => !f.Key.StartsWith("data/", StringComparison.Ordinal) && f.Key != "tagmanifest-sha256.txt").Select(f => $"{Digest(f.Value)} {f.Key}\n"));

    static void Finds(string code, string path, Bag bag) =>
        Assert.Equal([(code, path)], bag.Validate().Select(f => (f.Code, f.Path)));

    [Fact]
    public void A_right_bag_has_no_fault() => Assert.Empty(With().Validate());

    [Theory] // RFC 8493 section 2.1.3 allows several spaces or tabs, either case of the digits, and any line end
    [InlineData("{0}\tdata/hello.txt\r\n")]
    [InlineData("{0}    data/hello.txt\r")]
    [InlineData("{0} data/hello.txt")]
    public void Manifests_may_be_spaced_otherwise(string line)
    {
        Assert.Empty(With("manifest-sha256.txt", line.Replace("{0}", Digest("hello\n"), StringComparison.Ordinal)).Validate());
        Assert.Empty(With("manifest-sha256.txt", line.Replace("{0}", Digest("hello\n").ToUpperInvariant(), StringComparison.Ordinal)).Validate());
    }

    [Fact]
    public void A_changed_payload_file_is_found() => Finds("bag.digest", "data/hello.txt", With("data/hello.txt", "hollo\n"));

    [Fact]
    public void A_changed_tag_file_is_found() =>
        Finds("bag.digest", "bag-info.txt", With("bag-info.txt", "Payload-Oxum: 6.1\nMore: x\n", mendTags: false));

    [Fact]
    public void A_missing_payload_file_is_found()
    {
        var faults = With("data/hello.txt").Validate();
        Assert.Equal([("bag.missing-file", "data/hello.txt"), ("bag.oxum", "bag-info.txt")], faults.Select(f => (f.Code, f.Path)));
    }

    [Fact]
    public void A_payload_file_nobody_lists_is_found()
    {
        var faults = With("data/extra", "x").Validate();
        Assert.Equal([("bag.unlisted-file", "data/extra"), ("bag.oxum", "bag-info.txt")], faults.Select(f => (f.Code, f.Path)));
    }

    [Fact]
    public void A_tag_file_nobody_lists_is_found() =>
        Finds("bag.unlisted-file", "READ-ME.txt", With("READ-ME.txt", "x", mendTags: false));

    [Fact]
    public void A_missing_manifest_is_found()
    {
        Finds("bag.missing-file", "manifest-sha256.txt", With("manifest-sha256.txt"));
        var bare = BagSamples.Forge(("bagit.txt", Declaration), ("bag-info.txt", "Payload-Oxum: 0.0\n"), ("manifest-sha256.txt", ""));
        Finds("bag.missing-file", "tagmanifest-sha256.txt", bare);
    }

    [Fact]
    public void Manifests_listing_what_they_must_not_are_faulty()
    {
        var line = $"{Digest("hello\n")}  data/hello.txt\n";
        Finds("bag.manifest", "manifest-sha256.txt", With("manifest-sha256.txt", line + line)); // the suite of the Library of Congress: same hash twice
        Finds("bag.manifest", "manifest-sha256.txt", With("manifest-sha256.txt", line + $"{Digest("x")}  data/hello.txt\n")); // and different ones
        Finds("bag.manifest", "manifest-sha256.txt", With("manifest-sha256.txt", $"{Digest("hello\n")[1..]}  data/hello.txt\n"));
        Finds("bag.manifest", "manifest-sha256.txt", With("manifest-sha256.txt", $"{Digest("hello\n")}\n"));
        Finds("bag.manifest", "manifest-sha256.txt", With("manifest-sha256.txt", "\uFEFF" + line));
        Finds("bag.missing-file", "bagit.txt", With("manifest-sha256.txt", line + $"{Digest(Declaration)}  bagit.txt\n"));
        Finds("bag.missing-file", "data/../../etc/passwd", With("manifest-sha256.txt", line + $"{Digest("x")}  data/../../etc/passwd\n"));
        Finds("bag.missing-file", "/etc/passwd", With("manifest-sha256.txt", line + $"{Digest("x")}  /etc/passwd\n"));
    }

    [Theory]
    [InlineData("BagIt-Version : 1.0\nTag-File-Character-Encoding : UTF-8\n")] // the suite's bag with invalid white space
    [InlineData("\uFEFFBagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n")]
    [InlineData("BagIt-Version: 0.97\nTag-File-Character-Encoding: UTF-8\n")]
    [InlineData("BagIt-Version: 1.0\nTag-File-Character-Encoding: ISO-8859-1\n")]
    [InlineData("BagIt-Version: 1.0\n")]
    public void A_declaration_of_anything_else_is_found(string text) => Finds("bag.declaration", "bagit.txt", With("bagit.txt", text));

    [Theory]
    [InlineData("bag.oxum", "Payload-Oxum: 7.1\n")]
    [InlineData("bag.oxum", "Payload-Oxum: 6.1\nPayload-Oxum: 6.1\n")]
    [InlineData("bag.oxum", "Contact-Name: nobody\n")]
    [InlineData("bag.info", "Payload-Oxum: 6.1\nno label\n")]
    [InlineData("bag.info", " continued from nothing\n")]
    [InlineData("bag.info", "Label:value\nPayload-Oxum: 6.1\n")]
    public void Labels_that_are_wrong_are_found(string code, string text) => Finds(code, "bag-info.txt", With("bag-info.txt", text));

    [Fact] // RFC 8493 section 2.2.2, the example's labels and its continued line
    public void Labels_read_as_the_standards_example_shows()
    {
        var bag = With("bag-info.txt",
            "Source-Organization: FOO University\nOrganization-Address: 1 Main St., Cupertino, California, 11111\n"
                + "External-Description: Uncompressed greyscale TIFF images from the\n        FOO papers colle...\n"
                + "Bagging-Date: 2008-01-15\nExternal-Identifier: university_foo_001\nPayload-Oxum: 279164409832.1198\nBag-Count: 1 of 15\n");
        var info = bag.Info();
        Assert.Equal("Uncompressed greyscale TIFF images from the FOO papers colle...", info[2].Value);
        Assert.Equal(("Payload-Oxum", "279164409832.1198"), (info[5].Key, info[5].Value));
        Assert.Equal(7, info.Count);
        Finds("bag.oxum", "bag-info.txt", bag);
    }

    [Fact]
    public void Files_fetched_from_elsewhere_and_other_algorithms_are_not_let_pass()
    {
        Finds("bag.fetch", "fetch.txt", With("fetch.txt", ""));
        Finds("bag.algorithm", "manifest-md5.txt", With("manifest-md5.txt", ""));
        Finds("bag.algorithm", "tagmanifest-sha512.txt", With("tagmanifest-sha512.txt", ""));
    }

    [Fact]
    public void An_archive_that_is_no_bag_in_one_folder_is_refused()
    {
        Refused.With("bag.declaration", () => BagSamples.Forge(("data/x", "")));
        Refused.With("bag.folder", () => BagSamples.Open(ZipForge.Write(new Forged("bagit.txt", []))));
        Refused.With("bag.folder", () => BagSamples.Open(ZipForge.Write(new Forged("bag/bagit.txt", []), new Forged("other/x", []))));
    }

    [Fact]
    public void No_changed_bit_in_the_archive_goes_unnoticed()
    {
        var zip = BagSamples.Write([BagFile.Of("data/a", "a"u8.ToArray())]);
        var free = Unguarded(zip).ToHashSet();
        for (var bit = 0; bit < zip.Length * 8; bit++)
        {
            zip[bit / 8] ^= (byte)(1 << (bit % 8));
            Assert.True(free.Contains(bit / 8) || !Stands(zip), $"bit {bit}");
            zip[bit / 8] ^= (byte)(1 << (bit % 8));
        }
        Assert.True(Stands(zip));
    }

    // What only the directory says and no content depends on: by whom a file was made, its attributes, internal and external.
    static IEnumerable<int> Unguarded(byte[] zip)
    {
        for (var at = 0; (at = zip.AsSpan(at).IndexOf("PK\x01\x02"u8) is var found and >= 0 ? at + found : -1) >= 0; at++)
            foreach (var offset in new[] { 4, 5, 36, 37, 38, 39, 40, 41 }) yield return at + offset;
    }

    static bool Stands(byte[] zip)
    {
        try
        {
            return BagSamples.Open(zip).Validate().Count == 0;
        }
        catch (Malformed)
        {
            return false;
        }
    }
}
