using System.Diagnostics;
using System.Text;

namespace Custody.Transparency.Tests;

/// <summary>
/// Random damage to good input: a reader may refuse it or read it, and nothing else may come out of it. A fixed number of cases from a fixed
/// start, the same on every run, then other ones for a while; a case that fails is told byte for byte.
/// </summary>
public class FuzzTests
{
    static readonly TimeSpan Further = TimeSpan.FromSeconds(0.5);

    static void Survives(byte[][] good, int cases, Action<byte[]> read)
    {
        var random = new Random(8785);
        var clock = new Stopwatch();
        for (var i = 0; i < cases || clock.Elapsed < Further; i++)
        {
            if (i == cases)
            {
                random = new Random();
                clock.Start();
            }
            var bad = Damaged(good[random.Next(good.Length)], random);
            try
            {
                read(bad);
            }
            catch (Malformed)
            {
                continue; // the one answer bad input may get
            }
            catch (Exception e)
            {
                Assert.Fail($"case {i}, {Convert.ToBase64String(bad)}: {e}");
            }
        }
    }

    static byte[] Damaged(byte[] good, Random random)
    {
        var bytes = good.ToList();
        for (var wounds = random.Next(1, 6); wounds > 0; wounds--)
        {
            var at = random.Next(bytes.Count + 1);
            switch (random.Next(6))
            {
                case 0 when at < bytes.Count: bytes[at] = (byte)random.Next(256); break;
                case 1 when at < bytes.Count: bytes[at] ^= (byte)(1 << random.Next(8)); break;
                case 2: bytes.Insert(at, (byte)random.Next(256)); break;
                case 3: bytes.RemoveRange(at, Math.Min(random.Next(8), bytes.Count - at)); break;
                case 4: bytes.InsertRange(at, bytes.GetRange(at, Math.Min(random.Next(40), bytes.Count - at))); break;
                default: bytes.InsertRange(at, Encoding.UTF8.GetBytes(Spice[random.Next(Spice.Length)])); break;
            }
        }
        return [.. bytes];
    }

    static readonly string[] Spice =
        ["\"", "\\", "\\u", "\\ud800", "{", "[", "]", "}", ",", ":", "-", "e+", "1e999", "0", "\n", "\n\n", "\u2014 ", " ", "=", "PK\u0001\u0002", "\uFEFF", "\0"];

    [Fact]
    public void Json_of_any_kind_is_read_or_refused() => Survives(
        [
            """{"v":"custody-entry/1","n":7,"body":{"_sd":["x"],"a":[1,-2.5e3,true,null]},"t":"\u00e9\ud83d\ude00é"}"""u8.ToArray(),
            """[[[[{"a":{"b":{"c":[0.1,1e21,9007199254740993]}}}]]]]"""u8.ToArray(),
        ],
        30_000,
        bytes => Jcs.Write(Jcs.Parse(bytes)));

    [Fact]
    public void Disclosures_of_any_kind_are_read_or_refused()
    {
        var (text, _) = Disclosure.Make("2GLC42sKQveCfGfryNRN9w", "place", new Json.Obj(new Json.Member("town", "Dörfles")));
        Survives([Encoding.ASCII.GetBytes(text)], 10_000, bytes => Disclosure.Parse(Encoding.Latin1.GetString(bytes)));
    }

    [Fact]
    public void Notes_of_any_kind_are_read_or_refused()
    {
        var hash = Hash.Of("x"u8);
        using var signer = NoteKeys.Signer("ledger.example", 1);
        using var next = NoteKeys.Signer("ledger.example", 2);
        var point = new Checkpoint("ledger.example", 8, hash).Sign(signer).ToArray();
        var head = new Head("ledger.example", "bat/x", 1, hash, 8, hash, BagSamples.Time).Sign(signer).ToArray();
        var rotation = SignedNote.Sign(new KeyRotation("ledger.example", signer.Verifier, next.Verifier, hash, 8, hash).Text, signer, next).ToArray();
        var proof = new TlogProof(5, [hash, hash, hash], point).ToArray();
        var known = signer.Verifier;
        Survives([Encoding.UTF8.GetBytes(NoteKeys.PeterNote), point, head, rotation], 10_000, bytes => SignedNote.Parse(bytes).Verify(known));
        Survives([point], 10_000, bytes => Checkpoint.Read(SignedNote.Parse(bytes)));
        Survives([head], 10_000, bytes => Head.Read(SignedNote.Parse(bytes)));
        Survives([rotation], 10_000, bytes => KeyRotation.Follow(SignedNote.Parse(bytes), known, next.Verifier.Digest));
        Survives([proof], 10_000, bytes => TlogProof.Parse(bytes).Includes(hash));
        Survives([Encoding.UTF8.GetBytes(NoteKeys.Peter)], 10_000, bytes => VerifierKey.Parse(Encoding.UTF8.GetString(bytes)));
        Survives(["tile/0/x001/x234/067.p/8"u8.ToArray()], 10_000, bytes => Tile.Parse(Encoding.UTF8.GetString(bytes)));
    }

    [Fact]
    public void Archives_of_any_kind_are_read_or_refused()
    {
        var zip = BagSamples.Write(BagSamples.Files.Take(3));
        var forged = ZipForge.Write(new Forged("bag/bagit.txt", "x"u8.ToArray()), new Forged("bag/data/é", []));
        Survives([zip, forged], 20_000, bytes => BagSamples.Open(bytes).Validate());
    }

    [Fact]
    public void Manifests_and_labels_of_any_kind_are_read_or_refused()
    {
        var manifest = $"{Hash.Of("x"u8).Hex}  data/a%0Ab\n{Hash.Of("y"u8).Hex}  data/c\n";
        Survives([Encoding.UTF8.GetBytes(manifest)], 5_000, bytes => BagSamples.Open(ZipForge.Write(
            new Forged("b/bagit.txt", []), new Forged("b/manifest-sha256.txt", bytes), new Forged("b/bag-info.txt", bytes))).Validate());
    }
}
