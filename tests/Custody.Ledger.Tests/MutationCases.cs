using Custody.Bats;
using Custody.Evidence;
using Custody.Transparency;

namespace Custody.Ledger.Tests;

/// <summary>Every way of breaking a dossier that has a check of its own. Each breaks one thing and puts everything else in order again, as a
/// clever forger would.</summary>
static class MutationCases
{
    public static IReadOnlyDictionary<string, Mutation> All { get; } =
        Bag().Concat(Entries()).Concat(Chain()).Concat(Inclusion()).Concat(Checkpoints()).Concat(Heads()).Concat(Disclosures()).Concat(Files())
            .Concat(Decisions()).Concat(Summaries()).Concat(Labels()).Concat(Forks()).Concat(TimeCases.All()).ToDictionary(m => $"{m.Check} {m.Name}");

    const string History = "data/history.jsonl";
    const string Context = "data/context.jsonl";

    static IEnumerable<Mutation> Bag()
    {
        yield return new(1, "a byte of a file is changed in the archive", w => RawEdit(w.Good, "Before you pay", "Before you bay"));
        yield return new(1, "a file too many", w => w.With("data/notes.txt", _ => "hello"u8.ToArray()));
        yield return new(1, "a program", w => w.With("data/documents/check.exe", _ => "MZ"u8.ToArray()));
        yield return new(1, "a program beside the payload", w => w.With("check.sh", _ => "#!/bin/sh"u8.ToArray()));
        yield return new(1, "a proof with a leading zero in its name", w => w.With("data/proofs/07.tlog-proof", _ => "x"u8.ToArray()));
        yield return new(1, "the read-me is missing", w => w.With("READ-ME.txt", _ => null));
        yield return new(1, "the disclosures are missing", w => w.With("data/disclosures.json", _ => null));
        yield return new(1, "the page is missing", w => w.With("data/history.html", _ => null));
        yield return new(1, "the end of the archive is missing", w => w.Good[..^30]);
        yield return new(1, "bytes follow the archive", w => [.. w.Good, 0]);
        yield return new(1, "bytes stand before the archive", w => [.. "PK\x03\x04"u8, .. w.Good]);
    }

    static IEnumerable<Mutation> Entries()
    {
        yield return new(2, "a member too many in an entry", w => w.ForgedEntry(e => e.With("note", "x")));
        yield return new(2, "a member missing in an entry", w => w.ForgedEntry(e => e.Without("salt")));
        yield return new(2, "another version", w => w.ForgedEntry(e => e.With("v", "custody-entry/2")));
        yield return new(2, "a time with a fraction", w => w.ForgedEntry(e => e.With("recorded", "2031-04-02T09:09:00.5Z")));
        yield return new(2, "a time with an offset", w => w.ForgedEntry(e => e.With("recorded", "2031-04-02T09:09:00+00:00")));
        yield return new(2, "a time with a space", w => w.ForgedEntry(e => e.With("recorded", "2031-04-02 09:09:00Z")));
        yield return new(2, "a date that is no EDTF", w => w.ForgedEntry(e => e.With("occurred", "May 1951")));
        yield return new(2, "by a name", w => w.ForgedEntry(e => e.With("by", "somebody")));
        yield return new(2, "by an alias with a leading zero", w => w.ForgedEntry(e => e.With("by", "p01")));
        yield return new(2, "a short salt", w => w.ForgedEntry(e => e.With("salt", "AAAA")));
        yield return new(2, "a salt with spare bits", w => w.ForgedEntry(e => e.With("salt", "AAAAAAAAAAAAAAAAAAAAAB")));
        yield return new(2, "a hash before with padding", w => w.ForgedEntry(e => e.With("prev", e.Require<Json.Str>("prev").Value + "=")));
        yield return new(2, "a ledger's name ending in /head", w => w.ForgedEntry(e => e.With("ledger", "ledger.example/head")));
        yield return new(2, "rules 0", w => w.ForgedEntry(e => e.With("rules", 0)));
        yield return new(2, "an open member missing", w => w.ForgedBody(b => b.Without("kind")));
        yield return new(2, "an open member too many", w => w.ForgedBody(b => b.With("place", "a barn")));
        yield return new(2, "a word nobody knows", w => w.ForgedBody(b => b.With("kind", "whatever")));
        yield return new(2, "null", w => w.ForgedBody(b => b.With("handover", Json.Null.Instance)));
        yield return new(2, "a fraction", w => w.ForgedBody(b => b.With("handover", new Json.Num(1.5))));
        yield return new(2, "a whole number written as text", w => w.ForgedBody(b => b.With("handover", "3")));
        yield return new(2, "an empty list", w => w.ForgedBody(b => b.With("photographs", new Json.Arr())));
        yield return new(2, "a digest too few", w => w.ForgedBody(b => b.With("_sd", new Json.Arr([.. Digests(b).Skip(1)]))));
        yield return new(2, "a digest too many", w => w.ForgedBody(b => b.With("_sd", Sorted(Digests(b).Append(Hash.Of("x"u8).Text)))));
        yield return new(2, "no digests", w => w.ForgedBody(b => b.Without("_sd")));
        yield return new(2, "empty digests", w => w.ForgedBody(b => b.With("_sd", new Json.Arr())));
        yield return new(2, "digests out of order", w => w.ForgedBody(b => b.With("_sd", new Json.Arr([.. Digests(b).Reverse()]))));
        yield return new(2, "a digest twice", w => w.ForgedBody(b => b.With("_sd", Sorted(Digests(b).Skip(1).Append(Digests(b).Last())))));
        yield return new(2, "digests inside a list", w => w.ForgedBody(b => b.With("irregularities", new Json.Arr(new ObjBuilder { { "_sd", Sorted(Digests(b)) } }.Build()))));
        yield return new(2, "a member name with a capital", w => w.ForgedBody(b => b.With("Kind", "damage")));
        yield return new(2, "a picture's hash in hexadecimal", w => w.ForgedBody(b => b.With("photographs", new Json.Arr(new string('0', 64)))));
        yield return new(2, "a space after a colon", w => ForgedBytes(w, b => b.Replace("\"n\":5", "\"n\": 5", StringComparison.Ordinal)));
        yield return new(2, "members in another order", w => ForgedBytes(w, b => "{" + "\"v\":\"custody-entry/1\"," + b[1..].Replace(",\"v\":\"custody-entry/1\"", "", StringComparison.Ordinal)));
        yield return new(2, "a name twice", w => ForgedBytes(w, b => b.Replace("\"n\":5", "\"n\":5,\"n\":5", StringComparison.Ordinal)));
        yield return new(2, "a letter written as an escape", w => ForgedBytes(w, b => b.Replace("custody-entry/1", "\\u0063ustody-entry/1", StringComparison.Ordinal)));
        yield return new(2, "a number with an exponent", w => ForgedBytes(w, b => b.Replace("\"n\":5", "\"n\":5e0", StringComparison.Ordinal)));
        yield return new(2, "not JSON", w => ForgedBytes(w, _ => "hello"));
        yield return new(2, "an entry over 65,536 bytes", w => ForgedBytes(w, b => b[..^1] + ",\"z\":\"" + new string('z', 65_536) + "\"}"));
        yield return new(2, "too deep", w => w.ForgedBody(b => b.With("kind", Enumerable.Range(0, 20).Aggregate((Json)1, (j, _) => new Json.Arr(j)))));
        yield return new(2, "no line feed at the end", w => w.With(History, b => b[..^1]));
        yield return new(2, "an empty line in the context", w => w.With(Context, b => [.. b, (byte)'\n']));
        yield return new(2, "the context in another order", w => w.WithText(Context, t => string.Concat(t.Split('\n', StringSplitOptions.RemoveEmptyEntries).Reverse().Select(l => l + "\n"))));
        yield return new(2, "an entry in the context that nothing cites", w => w.Forged(_ => w.Ledger.Contents(w.Bat, Stranger(w))));
        yield return new(2, "a line in the context for an entry that is gone", w => w.With(Context, b => [.. b, .. new Gone(3, Hash.Of("x"u8).Text, w.Bat.Reference(1)).ToLine(), (byte)'\n']));
        yield return new(2, "a gone line without its reason", w => ForgedBytes(w, _ => "{\"gone\":{\"hash\":\"" + Hash.Of("x"u8).Text + "\",\"n\":5}}"));
    }

    static IEnumerable<Mutation> Chain()
    {
        yield return new(3, "a hash before that fits nothing", w => w.Forge(at => at with { Prev = Hash.Of("x"u8).Text }));
        yield return new(3, "a hash before of the entry before that", w => w.Forge(at => at with { Prev = w.Bat.Lines[^2].Hash }));
        yield return new(3, "a number left out", w => w.Forge(at => at with { N = at.N + 1 }));
        yield return new(3, "a number twice", w => Bare(w.Forge(at => at with { N = at.N - 1, Prev = w.Bat.Lines[^2].Hash }))) { AlsoFails = [13] };
        yield return new(3, "an entry of another bat", w => w.Forge(at => at with { Stream = TestLedger.Name("bat", 'C') }));
        yield return new(3, "recorded before the entry before", w => w.Forge(at => at with { Recorded = at.Recorded.AddDays(-1) }));
        yield return new(3, "older rules", w =>
        {
            w.Bat.Forge(Workshop.Reported, at => at with { Rules = 2 });
            return w.Forge(at => at);
        });
        yield return new(3, "an entry taken out of the middle", w => w.Forged(c => WithoutLine(c, w.Bat.Lines[1], 1)));
        yield return new(3, "the first entry taken away", w => Bare(w.Forged(c => WithoutLine(c, w.Bat.Lines[0], 0))));
        yield return new(3, "two entries changed places", w => w.Forged(c => c with { History = [c.History[0], c.History[2], c.History[1], c.History[3]] }));
        yield return new(3, "a gone line with another number", w =>
        {
            w.Bat.ForgeBytes(Workshop.Reported, _ => new Gone(6, Hash.Of("lost"u8).Text, w.Ledger.Own.Reference(1)).ToLine());
            return w.Forged(c => c with { Proofs = c.Proofs.Where(p => p.Key != w.Bat.Lines[^1].Index).ToDictionary() });
        })
        { AlsoFails = [4, 6] };
    }

    static IEnumerable<Mutation> Inclusion()
    {
        yield return new(4, "a proof is missing", w => w.With("data/proofs/4.tlog-proof", _ => null));
        yield return new(4, "a proof under another index", w => Renamed(w, "data/proofs/4.tlog-proof", "data/proofs/44.tlog-proof"));
        yield return new(4, "a proof of another index under this name", w => w.WithText("data/proofs/4.tlog-proof", t => t.Replace("index 4", "index 3", StringComparison.Ordinal)));
        yield return new(4, "a hash of a proof is changed", w => w.WithText("data/proofs/4.tlog-proof", t => SwapLine(t, 2, Hash.Of("x"u8).Standard)));
        yield return new(4, "a hash of a proof is left out", w => w.WithText("data/proofs/4.tlog-proof", t => SwapLine(t, 2, null)));
        yield return new(4, "a proof that cannot be read", w => w.With("data/proofs/4.tlog-proof", _ => "hello"u8.ToArray()));
        yield return new(4, "a proof with bytes nobody vouches for", w => w.WithText("data/proofs/4.tlog-proof", t => t.Replace("index 4", "extra aGVsbG8=\nindex 4", StringComparison.Ordinal)));
        yield return new(4, "a proof under an older checkpoint", w => w.With("data/proofs/4.tlog-proof", _ => Older(w)));
        yield return new(4, "a proof under the same checkpoint with one more signature", w => w.With("data/proofs/4.tlog-proof", b => [.. b, .. Cosigned(w)]));
        yield return new(4, "a proof for an entry that is not here", w =>
        {
            var stranger = w.Ledger.Bat('C').Do(TestDossier.Registration(TestDossier.House, TestDossier.House));
            return w.Forged(c => c with { Proofs = c.Proofs.Concat(w.Ledger.Contents(stranger).Proofs.Where(p => p.Key == stranger.Lines[0].Index)).ToDictionary() });
        });
        yield return new(4, "an entry that is not in the log", w => NotLogged(w));
        yield return new(4, "a slot tag of another place", w => w.ForgedTag());
    }

    static IEnumerable<Mutation> Checkpoints()
    {
        yield return new(5, "the checkpoint's signature is changed", w => w.Forged(c => Workshop.Signed(c, Workshop.Flip(c.Checkpoint.ToArray(), 12))));
        yield return new(5, "the checkpoint is signed by a key of the same name that is not the ledger's", w =>
        {
            using var other = SignerKey.FromSeed("ledger.example", Enumerable.Repeat((byte)99, 32).ToArray());
            return w.Forged(c => Workshop.Signed(c, Checkpoint.Read(SignedNote.Parse(c.Checkpoint.Span)).Sign(other).ToArray()));
        });
        yield return new(5, "another key than the one expected", w => w.Good) { Key = OtherKey("ledger.example") };
        yield return new(5, "the key expected is another ledger's", w => w.Good) { Key = OtherKey("other.example") };
        yield return new(5, "the ledger's first entry is missing", w => w.Forged(c => c with
        {
            Context = [.. c.Context.Skip(1)],
            Proofs = c.Proofs.Where(p => p.Key != 0).ToDictionary(),
        }));
        yield return new(5, "an old key signs after the rotation", w =>
        {
            w.Ledger.Rotate();
            return w.Forged(c => Resigned(w, c, w.Ledger.Earlier[0]));
        })
        { AlsoFails = [6] };
        yield return new(5, "a rotation signed by neither key", w =>
        {
            var note = System.Text.Encoding.UTF8.GetString(Workshop.Flip(System.Text.Encoding.UTF8.GetBytes(w.Ledger.RotationNote()), 12));
            return AtOnce(w, () => w.Ledger.Own.Record(new KeyRotated(note)));
        });
        yield return new(5, "the expected key was compromised", w =>
        {
            return AtOnce(w, () => w.Ledger.Rotate(compromised: true));
        })
        { Key = FirstKey() };
    }

    static IEnumerable<Mutation> Heads()
    {
        yield return new(6, "the last entry is cut off", w => Bare(w.Forged(c => WithoutLine(c, w.Bat.Lines[^1], 3))));
        yield return new(6, "the head's signature is changed", w => w.Forged(c => c with { Head = Workshop.Flip(c.Head.ToArray(), 12) }));
        yield return new(6, "the head of another stream", w => w.Forged(c => Headed(w, c, h => h with { Stream = TestLedger.Name("bat", 'C').ToString() })));
        yield return new(6, "the head of another ledger", w => w.Forged(c => Headed(w, c, h => h with { Origin = "other.example" })));
        yield return new(6, "the head names an earlier entry", w => w.Forged(c => Headed(w, c, h => h with { N = 3, Entry = Hash.Parse(w.Bat.Lines[2].Hash) })));
        yield return new(6, "the head names another hash", w => w.Forged(c => Headed(w, c, h => h with { Entry = Hash.Of("x"u8) })));
        yield return new(6, "the head is of another size", w => w.Forged(c => Headed(w, c, h => h with { Size = h.Size + 1 })));
        yield return new(6, "the head is of another root", w => w.Forged(c => Headed(w, c, h => h with { Root = Hash.Of("x"u8) })));
        yield return new(6, "the head is older than the last entry", w => w.Forged(c => Headed(w, c, h => h with { Time = h.Time.AddDays(-1) })));
        yield return new(6, "the head cannot be read", w => w.With("data/head", _ => "hello"u8.ToArray()));
    }

    static IEnumerable<Mutation> Disclosures()
    {
        yield return new(7, "a value is changed", w => Shows(w, s => s with { Disclosure = Value(s.Disclosure, v => new Json.Str("maple, unmarked")) }));
        yield return new(7, "a salt is changed", w => Shows(w, s => s with { Disclosure = Salt(s.Disclosure) }));
        yield return new(7, "a disclosure is given twice", w => With(w, [.. w.Shown, w.Shown[0]]));
        yield return new(7, "for another entry", w => Shows(w, s => s with { N = s.N + 1 }));
        yield return new(7, "for an entry that is not here", w => Shows(w, s => s with { N = 99 }));
        yield return new(7, "for another stream", w => Shows(w, s => s with { Stream = TestLedger.Name("bat", 'C').ToString() }));
        yield return new(7, "under another object", w => Shows(w, s => s with { Pointer = "/body" }, at: 1));
        yield return new(7, "under a pointer that leads nowhere", w => Shows(w, s => s with { Pointer = "/body/nothing" }));
        yield return new(7, "not an array", w => w.With("data/disclosures.json", _ => "{}"u8.ToArray()));
        yield return new(7, "not canonical", w => w.WithText("data/disclosures.json", t => t.Replace(",", ", ", StringComparison.Ordinal)));
        yield return new(7, "a disclosure with a member too many", w => w.WithText("data/disclosures.json", t => t.Replace("\"disclosure\":", "\"comment\":\"\",\"disclosure\":", StringComparison.Ordinal)));
        yield return new(7, "a disclosure that is no base64url", w => Shows(w, s => s with { Disclosure = s.Disclosure + "=" }));
        yield return new(7, "names an open field", w => Digested(w, "kind", "loss"));
        yield return new(7, "names an open field of an event type nobody knows", w => Digested(w, "kind", "loss", e => e.With("type", "IncidentReported.9")));
        yield return new(7, "names a field that the entry does not have", w => Digested(w, "owner", "somebody"));
        yield return new(7, "holds a value of another kind", w => Digested(w, "place", new Json.Arr("a", "b")));
        yield return new(7, "fits a digest of two entries", w => Copied(w));
    }

    static IEnumerable<Mutation> Files()
    {
        var picture = $"data/photographs/{Hash.Of(TestDossier.Picture).Hex}.jpg";
        var paper = $"data/documents/{Hash.Of(TestDossier.Paper).Hex}.pdf";
        yield return new(8, "another picture under the name", w => w.With(picture, b => [.. b, 0]));
        yield return new(8, "a picture that no entry names", w => w.With($"data/photographs/{Hash.Of([0xFF, 0xD8, 0xFF, 1]).Hex}.jpg", _ => [0xFF, 0xD8, 0xFF, 1]));
        yield return new(8, "another document under the name", w => w.With(paper, b => [.. b, 0]));
        yield return new(8, "a document whose hash is not shown", w => w.With($"data/documents/{Hash.Of("other"u8).Hex}.pdf", _ => "other"u8.ToArray()));
        yield return new(8, "a picture that is no JPEG", w =>
        {
            w.Bat.Record(new IncidentReported(default, default, null, AssertionBasis.HoldersWord, [], [new(Hash.Of("<svg>"u8).Text)], null, null, null));
            var request = TestDossier.Request(w.Ledger.Contents(w.Bat), w.Shown);
            return TestDossier.Packed(request with { Photographs = [.. request.Photographs, new(Hash.Of("<svg>"u8).Text, "jpg", () => new MemoryStream("<svg>"u8.ToArray()))] });
        });
    }

    static IEnumerable<Mutation> Decisions()
    {
        yield return new(10, "released by someone who does not have it", w =>
        {
            w.Bat.Forge(new BatReleased(new Alias(2), new Alias(1), HandoverPurpose.Sale, Attestation.None, null, null, [], null, null, null, null, null));
            return w.Forged();
        });
        yield return new(10, "someone never introduced", w => w.Forge(at => at with { By = new Alias(9) }));
        yield return new(10, "said to have happened in the future", w => w.Forge(at => at with { Occurred = Edtf.Parse("2099") }));
        yield return new(10, "rules that nobody adopted", w => w.Forge(at => at with { Rules = 2 }));
        yield return new(10, "registered a second time", w =>
        {
            w.Bat.Forge(new BatRegistered("2031-0008-K", Arrival.Sent, new Alias(1), null, AssertionBasis.None, [], AssertionBasis.None, null, null, null));
            return w.Forged();
        });
        yield return new(10, "the ledger adopts rules out of order", w =>
        {
            w.Ledger.Own.Forge(new RulesAdopted(7, Hash.Of("x"u8).Text));
            return w.Forged();
        });
    }

    static IEnumerable<Mutation> Summaries()
    {
        yield return new(11, "another custodian in the summary", w => w.WithText("data/summary.json", t => t.Replace("\"release\":4", "\"release\":3", StringComparison.Ordinal)));
        yield return new(11, "the summary is not canonical", w => w.With("data/summary.json", b => [.. b, (byte)'\n']));
        yield return new(11, "an empty summary", w => w.With("data/summary.json", _ => "{}"u8.ToArray()));
        yield return new(11, "a sentence more in the page", w => w.WithText("data/history.html", t => t.Replace("</html>", "<p>Used in play.</p></html>", StringComparison.Ordinal)));
        yield return new(11, "a script in the page", w => w.WithText("data/history.html", t => t.Replace("</html>", "<script>alert(1)</script></html>", StringComparison.Ordinal)));
        yield return new(11, "the bag bears another bat's number", w => TestDossier.Packed(TestDossier.Files(w.Good), "2031-0001-X"));
        yield return new(11, "the read-me sends readers to another checker", w => w.WithText("READ-ME.txt", t => t.Replace("Get the checker elsewhere", "Get the checker from us", StringComparison.Ordinal)));
    }

    static IEnumerable<Mutation> Labels()
    {
        yield return new(12, "a label of another bat", w => w.Good) { Label = Crockford.Encode(new byte[16]) };
        yield return new(12, "what is no label", w => w.Good) { Label = "hello" };
        yield return new(12, "a void label", w =>
        {
            w.Bat.Do(new VoidLabel(3, LabelEndGround.Lost, null) { By = TestDossier.House });
            return TestDossier.Packed(TestDossier.Request(w.Ledger.Contents(w.Bat), w.Shown));
        })
        { Label = Label() };
    }

    static IEnumerable<Mutation> Forks()
    {
        yield return new(13, "two entries in one place of the ledger's own stream", w =>
        {
            return AtOnce(w, () => w.Ledger.Own.Forge(new RulesAdopted(1, Hash.Of("other rules"u8).Text), at => at with { N = 2, Prev = w.Ledger.Own.Lines[0].Hash }));
        });
    }

    // ---- how things are forged

    static byte[] Forge(this Workshop w, Func<Envelope, Envelope> change)
    {
        w.Bat.Forge(Workshop.Reported, change);
        return w.Forged();
    }

    // As the clock stands, so that the page to read stays what it was.
    static byte[] AtOnce(Workshop w, Action forge)
    {
        var clock = w.Ledger.Clock;
        forge();
        w.Ledger.Clock = clock;
        return w.Forged();
    }

    // With nothing shown.
    static byte[] Bare(byte[] zip)
    {
        var files = TestDossier.Files(zip);
        files["data/disclosures.json"] = DisclosuresFile.Write([]);
        return TestDossier.Packed(files.Where(f => !f.Key.StartsWith("data/documents/", StringComparison.Ordinal)));
    }

    static byte[] ForgedTag(this Workshop w)
    {
        w.Ledger.TagOff = 1;
        w.Bat.Forge(Workshop.Reported);
        return w.Forged();
    }

    static byte[] ForgedBytes(Workshop w, Func<string, string> change)
    {
        w.Bat.ForgeBytes(Workshop.Reported, b => change(b.Text()).Bytes());
        return w.Forged();
    }

    static IEnumerable<Json> Digests(Json.Obj body) => body.Require<Json.Arr>("_sd").Items;

    static Json.Arr Sorted(IEnumerable<Json> digests) => new([.. digests.OrderBy(d => ((Json.Str)d).Value, StringComparer.Ordinal)]);

    static (long, byte[]) Stranger(Workshop w)
    {
        var line = w.Ledger.Bat('C').Do(TestDossier.Registration(TestDossier.House, TestDossier.House)).Lines[0];
        return (line.Index, line.Bytes);
    }

    static LedgerContents WithoutLine(LedgerContents contents, StoredLine line, int at) => contents with
    {
        History = [.. contents.History.Where((_, i) => i != at)],
        Proofs = contents.Proofs.Where(p => p.Key != line.Index).ToDictionary(),
    };

    static byte[] Renamed(Workshop w, string from, string to)
    {
        var files = TestDossier.Files(w.Good);
        files.Remove(from, out var bytes);
        files[to] = bytes!;
        return TestDossier.Packed(files);
    }

    static string SwapLine(string text, int at, string? line)
    {
        var lines = text.Split('\n').ToList();
        lines.RemoveAt(at);
        if (line is not null) lines.Insert(at, line);
        return string.Join('\n', lines);
    }

    static byte[] Older(Workshop w)
    {
        using TestLedger young = new();
        var bat = young.Bat().Do(TestDossier.Registration(TestDossier.House, TestDossier.House));
        return young.Contents(bat).Proofs[2].ToArray().Text().Replace("index 2", "index 4", StringComparison.Ordinal).Bytes();
    }

    // One more line under the note, by a stranger.
    static byte[] Cosigned(Workshop w)
    {
        using var stranger = SignerKey.FromSeed("stranger.example", Enumerable.Repeat((byte)5, 32).ToArray());
        return (stranger.Sign(SignedNote.Parse(w.Ledger.Contents(w.Bat).Checkpoint.Span).TextBytes).Line + "\n").Bytes();
    }

    // The last entry is one that the head names and the chain holds, but the log has another in its place.
    static byte[] NotLogged(Workshop w)
    {
        w.Bat.Forge(Workshop.Reported);
        var real = w.Ledger.Contents(w.Bat);
        using TestLedger twin = new();
        var other = TestDossier.Life(twin).Forge(new IncidentReported(default, default, null, AssertionBasis.Document, [], [], null, null, null));
        var forged = twin.Contents(other);
        var last = Headed(w, real, h => h with { Entry = Hash.Parse(other.Lines[^1].Hash) });
        return TestDossier.Forged(w.Good, last with { History = [.. real.History.SkipLast(1), forged.History[^1]] });
    }

    static LedgerContents Headed(Workshop w, LedgerContents contents, Func<Head, Head> change) =>
        contents with { Head = change(Head.Read(SignedNote.Parse(contents.Head.Span))).Sign(w.Ledger.Key).ToArray() };

    static LedgerContents Resigned(Workshop w, LedgerContents contents, SignerKey key) =>
        Workshop.Signed(contents, Checkpoint.Read(SignedNote.Parse(contents.Checkpoint.Span)).Sign(key).ToArray()) with
        {
            Head = Head.Read(SignedNote.Parse(contents.Head.Span)).Sign(key).ToArray(),
        };

    static VerifierKey OtherKey(string name)
    {
        using var key = SignerKey.FromSeed(name, Enumerable.Repeat((byte)77, 32).ToArray());
        return key.Verifier;
    }

    static VerifierKey FirstKey()
    {
        using TestLedger ledger = new();
        return ledger.Key.Verifier;
    }

    static string Label()
    {
        using TestLedger ledger = new();
        return Crockford.Encode(Hash.Parse(TestDossier.Life(ledger).Lines[2].Hash).ToArray().AsSpan(0, 16));
    }

    static byte[] With(Workshop w, IEnumerable<Shown> shown) => w.With("data/disclosures.json", _ => DisclosuresFile.Write(shown));

    static byte[] Shows(Workshop w, Func<Shown, Shown> change, int at = 0) => With(w, w.Shown.Select((s, i) => i == at ? change(s) : s));

    static string Value(string disclosure, Func<Json, Json> change)
    {
        var read = Disclosure.Parse(disclosure);
        return Disclosure.Make(read.Salt, read.Name, change(read.Value)).Text;
    }

    static string Salt(string disclosure)
    {
        var read = Disclosure.Parse(disclosure);
        return Disclosure.Make(new string('A', 22), read.Name, read.Value).Text;
    }

    // The house itself put the digest of such a disclosure where a decoy belongs.
    static byte[] Digested(Workshop w, string name, Json value, Func<Json.Obj, Json.Obj>? also = null)
    {
        var (text, digest) = Disclosure.Make(new string('A', 22), name, value);
        var zip = w.ForgedEntry(e =>
        {
            var body = e.Require<Json.Obj>("body");
            var forged = e.With("body", body.With("_sd", Sorted(Digests(body).Skip(1).Append(digest))));
            return also?.Invoke(forged) ?? forged;
        });
        return Showing(zip, new Shown(w.Bat.Name.ToString(), 5, "/body", text));
    }

    static byte[] Copied(Workshop w)
    {
        var first = w.Shown.First(s => s.Pointer == "/body" && s.N == 1);
        var zip = w.ForgedBody(b => b.With("_sd", Sorted(Digests(b).Skip(1).Append(Disclosure.Digest(first.Disclosure)))));
        return Showing(zip, first);
    }

    static byte[] Showing(byte[] zip, Shown shown)
    {
        var files = TestDossier.Files(zip);
        files["data/disclosures.json"] = DisclosuresFile.Write([shown]);
        return TestDossier.Packed(files.Where(f => !f.Key.StartsWith("data/documents/", StringComparison.Ordinal)));
    }

    // Changes bytes of equal number without touching any checksum.
    static byte[] RawEdit(byte[] zip, string from, string to)
    {
        var copy = (byte[])zip.Clone();
        var at = copy.AsSpan().IndexOf(System.Text.Encoding.ASCII.GetBytes(from));
        Assert.True(at >= 0);
        System.Text.Encoding.ASCII.GetBytes(to).CopyTo(copy, at);
        return copy;
    }
}
