using System.Text;

namespace Custody.Server.Tests.Private;

/// <summary>Looks for words in files in every spelling in which a program might have left them: plain in UTF-8 and UTF-16, lower case, hexadecimal, and
/// inside base64 or base64url at each of the three places it can begin.</summary>
sealed class Needles
{
    readonly List<(string Word, byte[] Bytes)> spellings = [];

    /// <param name="words">Distinctive ASCII words of 8 letters or more, so that chance finds none.</param>
    public Needles(params string[] words)
    {
        foreach (var word in words)
            foreach (var cased in new[] { word, word.ToLowerInvariant(), word.ToUpperInvariant() }.Distinct())
                foreach (var spelling in Spellings(cased)) spellings.Add((word, spelling));
    }

    static IEnumerable<byte[]> Spellings(string word)
    {
        var plain = Encoding.UTF8.GetBytes(word);
        yield return plain;
        yield return Encoding.Unicode.GetBytes(word);
        yield return Encoding.ASCII.GetBytes(Convert.ToHexStringLower(plain));
        yield return Encoding.ASCII.GetBytes(Convert.ToHexString(plain));
        for (var before = 0; before < 3; before++)
        {
            // Characters that share bits with what stands before or after are left off. Letters only, so both alphabets spell it alike.
            var text = Convert.ToBase64String([.. new byte[before], .. plain]);
            yield return Encoding.ASCII.GetBytes(text[(before == 0 ? 0 : before + 1)..((before + plain.Length) * 8 / 6)]);
        }
    }

    /// <summary>Where any of the words stands in these bytes.</summary>
    public IEnumerable<string> In(byte[] bytes) => spellings.Where(s => bytes.AsSpan().IndexOf(s.Bytes) >= 0).Select(s => s.Word).Distinct();

    /// <summary>"word in file" for each find below a folder, links followed.</summary>
    public IReadOnlyList<string> Below(string folder) =>
    [
        .. Directory.EnumerateFiles(folder, "*", SearchOption.AllDirectories).Where(f => new FileInfo(f).Length > 0) // a socket has no length
            .SelectMany(f => In(Read(f)).Select(w => $"{w} in {f}")),
    ];

    static byte[] Read(string file)
    {
        using var stream = new FileStream(file, FileMode.Open, FileAccess.Read, FileShare.ReadWrite | FileShare.Delete);
        using var memory = new MemoryStream();
        stream.CopyTo(memory);
        return memory.ToArray();
    }
}

public sealed class NeedlesTests
{
    [Fact]
    public void A_word_is_found_in_every_spelling_a_program_might_have_left()
    {
        var needles = new Needles("Quarterjack");
        for (var before = 0; before < 3; before++)
        {
            var json = Encoding.UTF8.GetBytes($"[\"{new string('s', before)}\",\"name\",\"Umbelline Quarterjack\"]");
            Assert.NotEmpty(needles.In(Encoding.ASCII.GetBytes(Custody.Transparency.Base64Url.Encode(json))));
            Assert.NotEmpty(needles.In(Encoding.ASCII.GetBytes(Convert.ToHexStringLower(json))));
            Assert.NotEmpty(needles.In(Encoding.Unicode.GetBytes(Encoding.UTF8.GetString(json))));
        }
        Assert.NotEmpty(needles.In("kquarterjack:1"u8.ToArray()));
        Assert.Empty(needles.In("nothing of the kind stands here"u8.ToArray()));
    }
}
