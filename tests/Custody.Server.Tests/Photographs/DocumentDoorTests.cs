using System.Text;
using Custody.Server.Photographs;
using ImageMagick;

namespace Custody.Server.Tests.Photographs;

public sealed class DocumentDoorTests : IDisposable
{
    readonly PictureRoom room = new();

    public void Dispose() => room.Dispose();

    Task<DocumentAnswer> Receive(byte[] bytes, string? name = null) =>
      room.Documents.Receive(new MemoryStream(bytes), name, null, TestContext.Current.CancellationToken);

    const string Pdf = "%PDF-1.7\n1 0 obj<<>>endobj\ntrailer<<>>\nstartxref\n0\n%%EOF\n";

    [Theory]
    [InlineData(Pdf, "letter.pdf", FileKind.Pdf)]
    [InlineData("Dear Sir, the bat left our hands in 1961. Größe 35½ in.\r\n", "letter.txt", FileKind.Text)]
    [InlineData("no ending, no claim", null, FileKind.Text)]
    public async Task A_paper_is_kept_exactly_as_received(string content, string? name, FileKind kind)
    {
        var bytes = Encoding.UTF8.GetBytes(content);
        var taken = (await Receive(bytes, name)).Accepted!;
        Assert.Equal((kind, (long)bytes.Length), (taken.Format, taken.Length));
        Assert.Equal(bytes, await room.Stores.Documents.Read(taken.Hash, TestContext.Current.CancellationToken));
    }

    [Theory]
    [InlineData(MagickFormat.Jpeg)]
    [InlineData(MagickFormat.Png)]
    public async Task A_scan_is_taken_if_it_is_a_whole_picture(MagickFormat format)
    {
        var scan = SamplePictures.Of(format);
        Assert.NotNull((await Receive(scan)).Accepted);
        var cut = (await Receive(scan[..(scan.Length * 2 / 3)])).Refused!;
        Assert.Contains(cut.Code, new[] { FileRefusal.Truncated, FileRefusal.DecodeFailed });
    }

    public static TheoryData<byte[], string?, string> Refused() => new()
  {
    { [], "a.pdf", FileRefusal.Empty },
    { "%PDF-1.7\n1 0 obj"u8.ToArray(), "a.pdf", FileRefusal.Truncated },
    { Encoding.UTF8.GetBytes(Pdf), "a.txt", FileRefusal.Mislabelled },
    { "text with \0 in it"u8.ToArray(), "a.txt", FileRefusal.NotADocument },
    { [0x68, 0xE9, 0x21], "latin1.txt", FileRefusal.NotADocument },
    { "<?xml version=\"1.0\"?><!DOCTYPE a [<!ENTITY b SYSTEM \"file:///etc/passwd\">]><a>&b;</a>"u8.ToArray(), null, FileRefusal.FormatNotAccepted },
    { "<svg xmlns=\"http://www.w3.org/2000/svg\"><script>1</script></svg>"u8.ToArray(), null, FileRefusal.FormatNotAccepted },
    { SamplePictures.Zip(), "a.docx", FileRefusal.FormatNotAccepted },
    { "<html><script>1</script>"u8.ToArray(), "a.pdf", FileRefusal.Mislabelled },
  };

    [Theory, MemberData(nameof(Refused))]
    public async Task Anything_else_is_refused_by_name_and_leaves_nothing(byte[] bytes, string? name, string code)
    {
        var answer = await Receive(bytes, name);
        Assert.Equal(code, answer.Refused?.Code);
        Assert.Empty(room.Files());
    }

    [Fact]
    public async Task A_paper_over_the_limit_is_refused()
    {
        using var small = new PictureRoom(maxBytes: 1000);
        var answer = await small.Documents.Receive(new MemoryStream(new byte[1001]), null, null, TestContext.Current.CancellationToken);
        Assert.Equal(FileRefusal.TooLargeBytes, answer.Refused!.Code);
    }
}
