using Custody.Bats;
using Custody.Transparency;

namespace Custody.Ledger.Tests;

/// <summary>Evidence convicts a ledger that did it, and no other, whatever is put together.</summary>
public sealed class MisconductTests : IDisposable
{
    readonly TestLedger ledger = new();
    readonly TestStream<Bat> bat;

    public MisconductTests() => bat = TestDossier.Life(ledger);

    public void Dispose() => ledger.Dispose();

    public static TheoryData<MisconductKind> Kinds => [MisconductKind.TwoTrees, MisconductKind.SecondEntry, MisconductKind.DeniedEntry];

    string HeadNow() => ledger.Contents(bat).Head.ToArray().Text();

    string CheckpointNow() => ledger.Public().Checkpoint().ToArray().Text();

    VerifierKey Key => ledger.Key.Verifier;

    /// <summary>Evidence of a kind, found by the search from what a reader can have.</summary>
    Misconduct Guilty(MisconductKind kind)
    {
        var kept = new[] { CheckpointNow(), HeadNow() };
        switch (kind)
        {
            case MisconductKind.SecondEntry:
                ledger.Log(bat.Name, 2, Hash.Of("another"u8).Text);
                break;
            case MisconductKind.DeniedEntry:
                ledger.Log(bat.Name, bat.Lines.Count + 1, Hash.Of("unwelcome"u8).Text);
                kept = [HeadNow()];
                break;
            default:
                using (TestLedger other = new())
                {
                    while (other.Size < ledger.Size + 5) other.Log(TestLedger.Name("bat", 'Y'), other.Size, Hash.Of("y"u8).Text);
                    return Assert.IsType<Misconduct>(MisconductSearch.Find(Key, kept, other.Public()));
                }
        }
        ledger.Log(TestLedger.Name("bat", 'Z'), 1, Hash.Of("z"u8).Text);
        return Assert.IsType<Misconduct>(MisconductSearch.Find(Key, kept, ledger.Public()));
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public void Each_kind_is_found_convicts_the_key_and_is_the_same_after_its_file(MisconductKind kind)
    {
        var evidence = Guilty(kind);
        Assert.Equal((kind, Key), (evidence.Kind, evidence.Key));
        Assert.True(MisconductJudge.Judge(evidence).Convicts, MisconductJudge.Judge(evidence).Sentence);
        var file = MisconductFile.Write(evidence);
        var read = MisconductFile.Read(file);
        Assert.True(MisconductJudge.Judge(read).Convicts);
        Assert.Equal(file, MisconductFile.Write(read));
        Assert.True(Jcs.IsCanonical(file.AsSpan()[..^1]));
    }

    [Fact]
    public void Two_roots_of_one_size_convict_by_themselves()
    {
        using TestLedger other = new();
        while (other.Size < ledger.Size) other.Log(TestLedger.Name("bat", 'Y'), other.Size, Hash.Of("y"u8).Text);
        var evidence = MisconductSearch.Find(Key, [HeadNow(), other.Public().Checkpoint().ToArray().Text()], null)!;
        Assert.True(MisconductJudge.Judge(MisconductFile.Read(MisconductFile.Write(evidence))).Convicts);
        Assert.False(MisconductJudge.Judge(evidence with { Notes = [evidence.Notes[0], evidence.Notes[0]] }).Convicts);
    }

    [Fact]
    public void A_head_that_names_another_entry_than_its_tree_convicts()
    {
        var tree = Checkpoint.Read(SignedNote.Parse(CheckpointNow().Bytes()));
        var head = new Head(ledger.Origin, bat.Name.ToString(), 2, Hash.Of("another"u8), tree.Size, tree.Root, ledger.Clock).Sign(ledger.Key).ToArray().Text();
        var other = new Head(ledger.Origin, bat.Name.ToString(), 2, Hash.Parse(bat.Lines[1].Hash), tree.Size, tree.Root, ledger.Clock).Sign(ledger.Key).ToArray().Text();
        var denied = MisconductSearch.Find(Key, [head], ledger.Public())!;
        Assert.Equal((MisconductKind.DeniedEntry, 3L), (denied.Kind, denied.N)); // entry 3 stands in the tree too
        var index = ledger.Public().Records.ToList().FindIndex(r => r.Entry.Text == bat.Lines[1].Hash);
        Misconduct Second(string note) => denied with
        {
            Notes = [note],
            N = 2,
            Records = [new(index, ledger.Public().Records[index], Merkle.InclusionProof(index, tree.Size, ledger.Public().Subtree))],
        };
        Assert.True(MisconductJudge.Judge(Second(head)).Convicts);
        Assert.False(MisconductJudge.Judge(Second(other)).Convicts);
    }

    [Fact]
    public void An_honest_ledger_gives_nothing_to_find()
    {
        List<string> kept = [];
        for (var i = 0; i < 30; i++)
        {
            if (i % 3 == 0) bat.Record(Workshop.Reported);
            else ledger.Log(TestLedger.Name("bat", 'Z'), i + 1, Hash.Of([(byte)i]).Text);
            kept.AddRange([CheckpointNow(), HeadNow()]);
        }
        Assert.Null(MisconductSearch.Find(Key, kept, ledger.Public()));
        Assert.Null(MisconductSearch.Within(DossierReader.Read(new MemoryStream(TestDossier.Good(ledger)))));
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void A_dossier_can_convict_by_itself(bool second)
    {
        if (second) ledger.Own.Forge(new RulesAdopted(1, Hash.Of("other rules"u8).Text), at => at with { N = 2, Prev = ledger.Own.Lines[0].Hash });
        var contents = ledger.Contents(bat);
        if (!second)
        {
            var tree = Checkpoint.Read(SignedNote.Parse(contents.Checkpoint.Span));
            contents = contents with { Head = new Head(ledger.Origin, bat.Name.ToString(), 3, Hash.Parse(bat.Lines[2].Hash), tree.Size, tree.Root, ledger.Clock).Sign(ledger.Key).ToArray() };
        }
        using TestLedger good = new();
        var dossier = DossierReader.Read(new MemoryStream(TestDossier.Forged(TestDossier.Good(good), contents)));
        var evidence = MisconductSearch.Within(dossier)!;
        Assert.Equal(second ? MisconductKind.SecondEntry : MisconductKind.DeniedEntry, evidence.Kind);
        Assert.True(MisconductJudge.Judge(evidence).Convicts);
    }

    /// <summary>Everything an accuser could turn round in good evidence.</summary>
    [Theory]
    [MemberData(nameof(Kinds))]
    public void Changed_evidence_does_not_convict(MisconductKind kind)
    {
        var good = Guilty(kind);
        using var stranger = SignerKey.FromSeed(ledger.Origin, [.. Enumerable.Repeat((byte)77, 32)]);
        using var elsewhere = SignerKey.FromSeed("other.example", [.. Enumerable.Repeat((byte)1, 32)]);
        using var cosigner = SignerKey.FromSeed(ledger.Origin, [.. Enumerable.Repeat((byte)1, 32)], VerifierKey.Cosignature);
        string Resigned(string note, SignerKey by) => SignedNote.Sign(SignedNote.Parse(note.Bytes()).Text, by).ToArray().Text();
        string Cosigned(string note)
        {
            var signed = SignedNote.Parse(note.Bytes());
            return signed.With(cosigner.Cosign(signed.TextBytes, 1)).ToArray().Text();
        }
        List<(string Name, Misconduct Evidence)> changed =
        [
            ("another key", good with { Key = stranger.Verifier }),
            ("signed by a stranger of the ledger's name", good with { Notes = [.. good.Notes.Select(n => Resigned(n, stranger))] }),
            ("signed by another ledger", good with { Key = elsewhere.Verifier, Notes = [.. good.Notes.Select(n => Resigned(n, elsewhere))] }),
            ("held against a cosigner", good with { Key = cosigner.Verifier, Notes = [.. good.Notes.Select(Cosigned)] }),
            ("no note", good with { Notes = [] }),
            ("a note too many", good with { Notes = [.. good.Notes, good.Notes[0]] }),
            ("a note that is none", good with { Notes = [.. good.Notes.Select(_ => "hello")] }),
            ("a key rotation as note", good with { Notes = [.. good.Notes.Select(_ => ledger.RotationNote())] }),
            .. kind == MisconductKind.TwoTrees ? OfTrees(good) : OfRecords(good),
            .. Kinds.Select(k => k.Data).Where(k => k != kind).Select(k => ($"called {k}", good with { Kind = k })),
        ];
        Assert.All(changed, c => Assert.False(MisconductJudge.Judge(c.Evidence).Convicts, c.Name));
        Assert.True(MisconductJudge.Judge(good).Convicts);
    }

    IEnumerable<(string, Misconduct)> OfTrees(Misconduct good)
    {
        var small = Checkpoint.Read(SignedNote.Parse(CheckpointNow().Bytes()));
        yield return ("the notes the other way round", good with { Notes = [.. good.Notes.Reverse()] });
        yield return ("one note twice", good with { Notes = [good.Notes[0], good.Notes[0]] });
        yield return ("no prefix", good with { Prefix = null });
        yield return ("the rightful root as prefix", good with { Prefix = small.Root });
        yield return ("any prefix", good with { Prefix = Hash.Of("x"u8) });
        yield return ("a proof cut short", good with { Consistency = [.. good.Consistency.SkipLast(1)] });
        yield return ("a proof too long", good with { Consistency = [.. good.Consistency, Hash.Of("x"u8)] });
        yield return ("no proof", good with { Consistency = [] });
        yield return ("a proof in another order", good with { Consistency = [.. good.Consistency.Reverse()] });
    }

    IEnumerable<(string, Misconduct)> OfRecords(Misconduct good)
    {
        Misconduct First(Func<ProvenRecord, ProvenRecord> change) => good with { Records = [change(good.Records[0]), .. good.Records.Skip(1)] };
        yield return ("no record", good with { Records = [] });
        yield return ("a record too many", good with { Records = [.. good.Records, good.Records[0]] });
        yield return ("another index", First(r => r with { Index = r.Index - 1 }));
        yield return ("an index beyond the tree", First(r => r with { Index = 1_000_000 }));
        yield return ("a negative index", First(r => r with { Index = -1 }));
        yield return ("another entry in the record", First(r => r with { Record = r.Record with { Entry = Hash.Of("x"u8) } }));
        yield return ("another tag in the record", First(r => r with { Record = r.Record with { Slot = Hash.Of("x"u8) } }));
        yield return ("a proof cut short", First(r => r with { Proof = [.. r.Proof.SkipLast(1)] }));
        yield return ("a proof too long", First(r => r with { Proof = [.. r.Proof, Hash.Of("x"u8)] }));
        if (good.Kind == MisconductKind.SecondEntry)
        {
            yield return ("one record twice", good with { Records = [good.Records[0], good.Records[0]] });
            yield return ("one record at two indexes", good with { Records = [good.Records[0], good.Records[0] with { Index = good.Records[1].Index }] });
            yield break;
        }
        yield return ("another n", good with { N = good.N + 1 });
        yield return ("no n", good with { N = null });
        yield return ("n 0", good with { N = 0 });
        yield return ("a head that names it", good with { Notes = [HonestHead(good.N!.Value, good.Records[0].Record.Entry)] });
        yield return ("a checkpoint for the head", good with { Notes = [CheckpointNow()] });
    }

    string HonestHead(long n, Hash entry)
    {
        var tree = Checkpoint.Read(SignedNote.Parse(CheckpointNow().Bytes()));
        return new Head(ledger.Origin, bat.Name.ToString(), n, entry, tree.Size, tree.Root, ledger.Clock).Sign(ledger.Key).ToArray().Text();
    }

    /// <summary>All that can be combined from an honest log of thirteen entries, proofs of every place and size among them.</summary>
    [Fact]
    public void No_combination_of_what_an_honest_ledger_signed_convicts_it()
    {
        while (ledger.Size < 13) ledger.Log(TestLedger.Name("bat", 'Z'), ledger.Size, Hash.Of([(byte)ledger.Size]).Text);
        var log = ledger.Public();
        string Tree(long size) => new Checkpoint(ledger.Origin, size, Merkle.Root(size, log.Subtree)).Sign(ledger.Key).ToArray().Text();
        var trees = Enumerable.Range(1, 13).Select(s => Tree(s)).ToList();
        var proofs = (from a in Enumerable.Range(1, 13) from b in Enumerable.Range(a, 14 - a) select Merkle.ConsistencyProof(a, b, log.Subtree)).ToList();
        var roots = Enumerable.Range(1, 13).Select(s => Merkle.Root(s, log.Subtree)).Append(Hash.Of("x"u8)).ToList();
        foreach (var (one, other) in new[] { (4, 13), (5, 13), (8, 9), (1, 2), (7, 12), (12, 7), (13, 13) })
            foreach (var prefix in roots)
                foreach (var proof in proofs)
                    Innocent(new(MisconductKind.TwoTrees, Key, [trees[one - 1], trees[other - 1]]) { Prefix = prefix, Consistency = proof });
        var records = (from i in Enumerable.Range(0, 13) from at in Enumerable.Range(0, 13) select new ProvenRecord(at, log.Records[i], Merkle.InclusionProof(i, 13, log.Subtree))).ToList();
        foreach (var one in records)
            foreach (var other in records)
                Innocent(new(MisconductKind.SecondEntry, Key, [trees[12]]) { Records = [one, other] });
        var root = Merkle.Root(13, log.Subtree);
        var head = new Head(ledger.Origin, bat.Name.ToString(), bat.Lines[^1].N, Hash.Parse(bat.Lines[^1].Hash), 13, root, ledger.Clock).Sign(ledger.Key).ToArray().Text();
        foreach (var record in records)
            for (var n = 0; n < 8; n++)
                Innocent(new(MisconductKind.DeniedEntry, Key, [head]) { Records = [record], N = n });

        static void Innocent(Misconduct evidence) => Assert.False(MisconductJudge.Judge(evidence).Convicts);
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public void A_file_with_any_byte_changed_is_no_such_file_or_does_not_convict(MisconductKind kind)
    {
        var file = MisconductFile.Write(Guilty(kind));
        for (var i = 0; i < file.Length; i++)
        {
            var changed = (byte[])file.Clone();
            changed[i] ^= 1;
            Assert.False(Convicts(changed), $"byte {i}");
        }
        for (var length = 0; length < file.Length; length += 7) Assert.False(Convicts(file[..length]));
        Assert.False(Convicts([.. file, (byte)'\n']));
        Assert.True(Convicts(file));

        static bool Convicts(byte[] bytes)
        {
            try
            {
                return MisconductJudge.Judge(MisconductFile.Read(bytes)).Convicts;
            }
            catch (Malformed)
            {
                return false; // refused by name
            }
        }
    }
}
