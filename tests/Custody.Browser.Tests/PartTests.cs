using System.Globalization;
using System.Text.Json.Nodes;
using Custody.Evidence;
using Custody.Ledger.Tests;
using Custody.Transparency;

namespace Custody.Browser.Tests;

/// <summary>The script's own readers against those of the command, on texts made for them.</summary>
public class PartTests
{
    static readonly string[] Years = ["1952", "195X", "19XX", "XXXX", "-0044", "-0000", "0000", "1952?", "~1952", "1952%", "?1952?", "Y17000", "Y-17000", "Y1952", "Y17E3", "1950S2", "1950S5", "Y171010000S3", "-1950S2", "Y17E14", "52", "19521"];
    static readonly string[] Rests = ["", "-02", "-02-29", "-02-30", "-13", "-XX", "-1X", "-1X-3X", "-XX-31", "-02-XX", "-21", "-24", "-33", "-41", "-42", "-21-05", "-~04", "-04~", "-04-?05", "-04-05%", "-04-05?~", "-4", "T09:00:00", "-04-05T09:00:00Z", "-04-05T24:00:00", "-04-05T09:00:00-00:00", "-04-05T09:00:00+14:30"];
    static readonly string[] Others =
    [
        "", "[1950,1951]", "{1950,1951-04}", "[..1950]", "[1950..]", "[1950..1953,1960]", "[1950..,1960]", "{1950..1953}", "{..1950,1960}", "[1953..1950]", "[1950..1951-04]",
        "[195X..1960]", "[1950-21..1951]", "[]", "[1950", "{1950]", "[,]", "[..]", "1950/", "/1950", "../1950", "1950/..", "/", "../..", "1950/1949", "1950/1950-01", "1950-06~/1951?",
        "1950//1951", "P1Y", "1950/P1Y", "1950-W04", "1950 ", "unknown", "195u", "1950-12-25/XXXX-01", "XXXX-12-25", "XXXX-02-30", "-9999/9999", "[-0044..1950]", "{XXXX-12-25,1950}",
    ];

    [Fact]
    public void Dates_are_taken_refused_and_bounded_alike()
    {
        List<string> texts = [.. Years.SelectMany(y => Rests.Select(r => y + r)), .. Others];
        texts.AddRange(Years.Take(8).SelectMany(y => Years.Take(8).Select(z => $"{y}-05/{z}")));
        texts.Add("1950" + new string('X', 300));
        if (PageScript.Call("days", "readEdtf", texts) is not { } answers) return;
        Assert.True(texts.Count > 600 && texts.Count == answers.Count);
        var differing = texts.Zip(answers).Where(t => !JsonNode.DeepEquals(Bounds(t.First), t.Second["value"])).Select(t => $"{t.First}: {t.Second} not {Bounds(t.First)?.ToJsonString()}");
        Assert.Empty(differing);
    }

    static JsonObject? Bounds(string text) => !Edtf.TryParse(text, out var date, out _) ? null
        : new()
        {
            ["startLo"] = Of(date.EarliestStart, "earlier"),
            ["startHi"] = Of(date.LatestStart, "earlier"),
            ["endLo"] = Of(date.EarliestEnd, "later"),
            ["endHi"] = Of(date.LatestEnd, "later"),
        };

    // An open bound says towards which side.
    static JsonValue? Of(Bound bound, string open) => bound.Kind switch
    {
        BoundKind.Day => JsonValue.Create(bound.Day.Number),
        BoundKind.OpenPast => JsonValue.Create("earlier"),
        BoundKind.OpenFuture => JsonValue.Create("later"),
        _ => open.Length > 0 ? null : throw new InvalidOperationException(),
    };

    [Fact]
    public void Hashes_are_those_of_the_platform_at_every_length_around_a_block()
    {
        var random = new Samples(5);
        List<byte[]> all = [.. Enumerable.Range(0, 300).Append(70_000).Select(length => Filled(new byte[length], random))];
        if (PageScript.Call("sha256", "sha256", all) is not { } answers) return;
        Assert.Equal(all.Select(b => Hash.Of(b).Standard), answers.Select(a => (string)a["value"]!));
    }

    static byte[] Filled(byte[] bytes, Samples random)
    {
        random.Fill(bytes);
        return bytes;
    }

    [Fact]
    public void Json_is_read_and_refused_alike()
    {
        string[] seeds =
        [
            """{"a":[1,-2,3.5,1e21,1E-7,-0,0.1],"b":"x\u00e9\n\ud83d\ude00","c":{"d":null,"e":true}}""", "[[],{},\"\"]", "9007199254740993", "-9007199254740991", "1e400", "\"\\ud83d\"",
            "{\"a\":1,\"a\":2}", "[1,]", "01", "1.", "-", "+1", "\"\\x\"", "\"\u0001\"", "nul", "\"abc", "{\"a\" 1}", "{a:1}", "[1 2]", " 1 ", "\uFEFF1", "\"\\u12\"", "\"\\ude00\"", "1.5e+", "{\"\":{}}",
        ];
        List<byte[]> texts = [.. seeds.Select(s => s.Bytes()), [0x22, 0xff, 0x22], [0xed, 0xa0, 0x80], new string('[', 70).Bytes(), (new string('[', 64) + new string(']', 64)).Bytes()];
        var random = new Samples(9);
        for (var i = 0; i < 2_000; i++) texts.Add(GeneratedDossiers.Changed(seeds[random.Below(3)].Bytes(), random));
        if (PageScript.Call("json", "parseJson", texts) is not { } answers) return;
        Assert.Empty(texts.Zip(answers).Where(t => ByCommand(t.First) != t.Second.ToJsonString()).Select(t => $"{t.First.Text()}: {t.Second.ToJsonString()} not {ByCommand(t.First)}"));
    }

    static string ByCommand(byte[] text)
    {
        try
        {
            return new JsonObject { ["value"] = Jcs.Write(Jcs.Parse(text)).Text() }.ToJsonString();
        }
        catch (Malformed refused)
        {
            return new JsonObject { ["code"] = refused.Code }.ToJsonString();
        }
    }

    [Theory]
    [InlineData("fromBase64Url")]
    [InlineData("fromBase64")]
    public void Base64_has_one_spelling(string name)
    {
        string[] texts = ["", "A", "AA", "AB", "AAA", "AAB", "AAAA", "AA==", "AB==", "AAA=", "AAE=", "A===", "AA=", "====", "AA AA", "AA\nAA", "-_-_", "+/+/", "AÄ==", "AAAA=", "AAAAA", "QQ", "QQ=="];
        if (PageScript.Call("text", name, texts) is not { } answers) return;
        var std = name == "fromBase64";
        string? Mine(string text) => (std ? Base64Std.TryDecode(text, out var bytes) : Base64Url.TryDecode(text, out bytes)) ? Convert.ToBase64String(bytes) : null;
        Assert.Equal(texts.Select(Mine), answers.Select(a => (string?)a["value"]));
    }

    [Fact]
    public void Labels_and_keys_are_read_alike()
    {
        var label = Crockford.Encode([.. Enumerable.Range(0, 16).Select(i => (byte)(i * 17))]);
        string[] labels = [label, label.ToLowerInvariant(), label.Insert(5, "-"), label[..25], label + "0", label[..25] + "1", label.Replace('0', 'O'), label.Replace('1', 'l'), label.Replace('1', 'i'), "U" + label[1..], "", "ſ" + label[1..]];
        if (PageScript.Call("crockford", "readCrockford", labels) is not { } answers) return;
        Assert.Equal(labels.Select(l => Crockford.TryDecode(l, out var bits) ? Convert.ToBase64String(bits) : null), answers.Select(a => (string?)a["value"]));

        using TestLedger ledger = new();
        var key = ledger.Key.Verifier.Text;
        string[] keys = [key, key + "=", key[1..], key.Replace("+", "", StringComparison.Ordinal), " " + key, key[..^4], key.ToUpperInvariant(), "", "a+b+c", new string('a', 400), key.Replace(".example", ".exämple", StringComparison.Ordinal)];
        var read = PageScript.Call("notes", "parseKey", keys)!;
        Assert.Equal(keys.Select(KeyCode), read.Select(a => (string?)a["code"] ?? (string)a["value"]!["text"]!));
    }

    static string KeyCode(string text)
    {
        try
        {
            return VerifierKey.Parse(text).Text;
        }
        catch (Malformed refused)
        {
            return refused.Code;
        }
    }
}
