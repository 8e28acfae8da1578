namespace Custody.Transparency.Tests;

/// <summary>A small bag as the writer makes it.</summary>
static class BagSamples
{
    internal static readonly DateTimeOffset Time = new(2031, 4, 2, 9, 15, 1, TimeSpan.Zero);

    internal static readonly BagFile[] Files =
    [
        BagFile.Of("READ-ME.txt", "Get the checker elsewhere.\n"u8.ToArray()),
        BagFile.Of("data/history.jsonl", "{\"n\":1}\n"u8.ToArray()),
        BagFile.Of("data/proofs/0.tlog-proof", "proof\n"u8.ToArray()),
        BagFile.Of("data/earlier/ledger.example/b%0Asé", []),
        BagFile.Of("data/checkpoint", [.. Enumerable.Range(0, 5000).Select(i => (byte)(i * i))]),
    ];

    internal static byte[] Write(IEnumerable<BagFile> files, DateTimeOffset? time = null)
    {
        var zip = new MemoryStream();
        BagZipWriter.Write(zip, "7K2M9", files, [new("Bagging-Date", "2031-04-02"), new("External-Identifier", "7K2M9")], time ?? Time);
        return zip.ToArray();
    }

    internal static Bag Open(byte[] zip) => Bag.In(BagZipReader.Open(new MemoryStream(zip)));

    /// <summary>A bag forged from its text files, right unless told otherwise.</summary>
    internal static Bag Forge(params (string Path, string Text)[] files) => Open(ZipForge.Write(
        [.. files.Select(f => new Forged($"bag/{f.Path}", System.Text.Encoding.UTF8.GetBytes(f.Text)))]));
}
