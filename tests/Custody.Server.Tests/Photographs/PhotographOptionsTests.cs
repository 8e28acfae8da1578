using Custody.Server.Configuring;
using Custody.Server.Photographs;
using Microsoft.Extensions.Configuration;

namespace Custody.Server.Tests.Photographs;

public sealed class PhotographOptionsTests
{
    static PhotographOptions From(params (string Key, string Value)[] settings) => PhotographOptions.From(
      new ConfigurationBuilder().AddInMemoryCollection(settings.ToDictionary(s => "Photographs:" + s.Key, s => (string?)s.Value)).Build(), "default");

    [Fact]
    public void With_nothing_set_files_go_to_the_data_folder() => Assert.Equal(new PhotographOptions { Folder = "default" }, From());

    [Fact]
    public void An_S3_store_is_taken_from_configuration_alone()
    {
        var options = From(("S3:Endpoint", "https://s3.example.org"), ("S3:Bucket", "bats"), ("S3:AccessKey", "a"), ("S3:SecretKey", "s"),
          ("S3:PathStyle", "false"), ("MaxPictureBytes", "1000"));
        Assert.Equal(new S3Options("https://s3.example.org", "bats", "a", "s", PathStyle: false), options.S3);
        Assert.Equal(1000, options.MaxPictureBytes);
    }

    [Fact]
    public void A_half_described_S3_store_says_what_is_missing()
    {
        var thrown = Assert.Throws<SettingFault>(() => From(("S3:Endpoint", "https://s3.example.org")));
        Assert.Contains("Photographs:S3:Bucket", thrown.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_size_that_is_no_number_is_refused() =>
        Assert.Contains("MaxPictureBytes", Assert.Throws<SettingFault>(() => From(("MaxPictureBytes", "large"))).Message, StringComparison.Ordinal);
}
