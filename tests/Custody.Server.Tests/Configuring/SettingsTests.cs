using System.Text.RegularExpressions;
using Custody.Server.Configuring;
using Custody.Server.Photographs;
using Custody.Server.Web;
using Custody.Tests;
using Microsoft.Extensions.Configuration;

namespace Custody.Server.Tests.Configuring;

public sealed partial class SettingsTests
{
    static string Reference => File.ReadAllText(Path.Combine(SourceTree.Root, "ops", "configuration.md"));

    [Fact]
    public void The_reference_is_what_the_program_writes() => Assert.Equal(SettingsReference.Text(), Reference);

    [Fact]
    public void No_variable_that_the_source_names_is_missing_from_the_reference()
    {
        var named = Directory.EnumerateFiles(Path.Combine(SourceTree.Root, "src"), "*.cs*", SearchOption.AllDirectories)
            .Where(p => !p.Contains($"{Path.DirectorySeparatorChar}obj{Path.DirectorySeparatorChar}", StringComparison.Ordinal) && !p.Contains($"{Path.DirectorySeparatorChar}bin{Path.DirectorySeparatorChar}", StringComparison.Ordinal))
            .SelectMany(p => Variable().Matches(File.ReadAllText(p)).Select(m => m.Value)).ToHashSet(StringComparer.Ordinal);
        Assert.True(named.Count > 15);
        Assert.DoesNotContain(named, n => !Settings.All.Any(s => s.Name == n || s.Name.StartsWith(n + "__", StringComparison.Ordinal)));
        Assert.All(Settings.All, s => Assert.True(s.Meaning.Length > 10 && s.Name.Length > 5, s.Name));
        Assert.Equal(Settings.All.Count, Settings.All.Select(s => s.Name).Distinct().Count());
    }

    [Fact]
    public void Every_default_of_a_number_is_one_and_what_is_no_number_is_refused_by_its_name()
    {
        foreach (var setting in Settings.All.Where(s => s.Unit.Length > 0)) Assert.Equal(setting.Number(_ => null), setting.Number(_ => setting.Default));
        foreach (var wrong in new[] { "many", "-1", "1.5", "0", "99999999999" })
            Assert.Contains("CUSTODY_COSIGN_SECONDS", Assert.Throws<SettingFault>(() => Settings.CosignSeconds.Number(_ => wrong)).Message, StringComparison.Ordinal);
        Assert.Equal(new RequestLimits(1200, 60000, 12000), RequestLimits.From(_ => null));
        Assert.Equal(0, RequestLimits.From(name => name == Settings.OpenLimit.Name ? "0" : null).Open);
    }

    [Fact]
    public void What_the_reference_says_of_photographs_is_what_is_read()
    {
        static PhotographOptions From(params (Setting Setting, string Value)[] set) => PhotographOptions.From(
            new ConfigurationBuilder().AddInMemoryCollection(set.Select(s => KeyValuePair.Create(s.Setting.Name["CUSTODY_".Length..].Replace("__", ":", StringComparison.Ordinal), (string?)s.Value))).Build(), "/kept");
        var left = From();
        Assert.Equal((Settings.MaxPicture.Number(_ => null), Settings.MaxDocument.Number(_ => null), Settings.Decodings.Number(_ => null)), (left.MaxPictureBytes, left.MaxDocumentBytes, left.ConcurrentDecodings));
        var set = From((Settings.PhotographsFolder, "/else"), (Settings.MaxPicture, "7"), (Settings.MaxDocument, "8"), (Settings.Decodings, "9"), (Settings.S3Endpoint, "https://s3.example"),
            (Settings.S3Bucket, "bats"), (Settings.S3AccessKey, "a"), (Settings.S3SecretKey, "s"), (Settings.S3PathStyle, "false"), (Settings.S3Region, "north"));
        Assert.Equal(("/else", 7L, 8L, 9), (set.Folder, set.MaxPictureBytes, set.MaxDocumentBytes, set.ConcurrentDecodings));
        Assert.Equal(new S3Options("https://s3.example", "bats", "a", "s", false, "north"), set.S3);
    }

    [GeneratedRegex("CUSTODY_[A-Za-z0-9]+(?:_+[A-Za-z0-9]+)*")]
    private static partial Regex Variable();
}
