using System.Text;
using static Custody.Transparency.Tests.NoteKeys;

namespace Custody.Transparency.Tests;

/// <summary>c2sp.org/tlog-witness, "add-checkpoint": each answer for its reason.</summary>
public sealed class CosignRulesTests : IDisposable
{
    const string Origin = "ledger.example";
    readonly SignerKey log = Signer(Origin, 1);
    readonly SignerKey cosigner = Signer("cosigner.example", 2, VerifierKey.Cosignature);
    readonly Hash[] leaves = [.. Enumerable.Range(0, 40).Select(i => Merkle.Leaf([(byte)i]))];
    readonly Hash[] other = [.. Enumerable.Range(0, 40).Select(i => Merkle.Leaf([(byte)(i < 7 ? i : i + 100)]))];

    public void Dispose()
    {
        log.Dispose();
        cosigner.Dispose();
    }

    static HashReader Of(Hash[] leaves)
    {
        Hash Read(int level, long index) => level == 0 ? leaves[index] : Merkle.Node(Read(level - 1, index * 2), Read(level - 1, (index * 2) + 1));
        return Read;
    }

    static Checkpoint At(Hash[] leaves, int size) => new(Origin, size, Merkle.Root(size, Of(leaves)));

    AddCheckpoint Asked(long old, Hash[] tree, int size, SignerKey? by = null) =>
        new(old, old > 0 && old < size ? Merkle.ConsistencyProof(old, size, Of(tree)) : [], At(tree, size).Sign(by ?? log));

    CosignDecision Decide(AddCheckpoint asked, Checkpoint? latest) => CosignRules.Decide(asked, o => o == Origin ? [log.Verifier] : [], latest);

    [Fact]
    public void The_first_checkpoint_is_cosigned_from_size_0_and_the_next_ones_from_the_last()
    {
        Assert.Equal(CosignStatus.Cosign, Decide(Asked(0, leaves, 10), null).Status);
        Assert.Equal(CosignStatus.Cosign, Decide(Asked(10, leaves, 23), At(leaves, 10)).Status);
        Assert.Equal(CosignStatus.Cosign, Decide(Asked(23, leaves, 23), At(leaves, 23)).Status);
    }

    [Fact]
    public void An_unknown_origin_is_404_a_foreign_signature_403_an_old_size_beyond_the_new_400()
    {
        using var stranger = Signer(Origin, 9);
        Assert.Equal(CosignStatus.UnknownOrigin, CosignRules.Decide(Asked(0, leaves, 3), _ => [], null).Status);
        Assert.Equal(CosignStatus.NotSigned, Decide(Asked(0, leaves, 3, stranger), null).Status);
        Assert.Equal(CosignStatus.OldTooLarge, Decide(Asked(9, leaves, 5), At(leaves, 9)).Status);
    }

    [Fact]
    public void Another_size_than_the_one_cosigned_last_is_409()
    {
        Assert.Equal(CosignStatus.Conflict, Decide(Asked(0, leaves, 12), At(leaves, 10)).Status);
        Assert.Equal(CosignStatus.Conflict, Decide(Asked(10, leaves, 12), null).Status);
        Assert.Equal(CosignStatus.Conflict, Decide(Asked(11, leaves, 12), At(leaves, 10)).Status);
    }

    [Fact]
    public void Two_roots_of_one_size_are_409_and_evidence_even_where_the_request_is_stale()
    {
        Assert.Equal(new CosignDecision(CosignStatus.Conflict, At(other, 10), true), Decide(Asked(10, other, 10), At(leaves, 10)));
        Assert.True(Decide(Asked(3, other, 10), At(leaves, 10)).IsFork);
        Assert.False(Decide(Asked(3, leaves, 10), At(leaves, 10)).IsFork);
    }

    [Fact]
    public void A_tree_that_does_not_go_on_is_422_and_so_is_any_proof_but_the_right_one()
    {
        Assert.Equal(CosignStatus.NotConsistent, Decide(Asked(10, other, 23), At(leaves, 10)).Status);
        var right = Asked(10, leaves, 23);
        Assert.Equal(CosignStatus.NotConsistent, Decide(right with { Proof = [] }, At(leaves, 10)).Status);
        Assert.Equal(CosignStatus.NotConsistent, Decide(right with { Proof = [.. right.Proof, Hash.Of("x"u8)] }, At(leaves, 10)).Status);
        Assert.Equal(CosignStatus.NotConsistent, Decide(right with { Proof = [.. right.Proof.Reverse()] }, At(leaves, 10)).Status);
        Assert.Equal(CosignStatus.NotConsistent, Decide(Asked(0, leaves, 3) with { Proof = [Hash.Of("x"u8)] }, null).Status);
    }

    [Fact]
    public void A_forked_ledgers_own_proof_convicts_it_and_a_strangers_convicts_nobody()
    {
        var seen = At(leaves, 10).Sign(log);
        Assert.True(Decide(Asked(10, other, 23), At(leaves, 10)).IsFork);
        Assert.True(CosignRules.Convicts(log.Verifier, seen, Asked(10, other, 23)));
        Assert.True(CosignRules.Convicts(log.Verifier, seen, Asked(0, other, 10)));
        // The honest continuation, whatever proof a stranger sends with it, says nothing against the ledger.
        var honest = Asked(10, leaves, 23);
        Assert.False(CosignRules.Convicts(log.Verifier, seen, honest));
        Assert.False(CosignRules.Convicts(log.Verifier, seen, honest with { Proof = Asked(10, other, 23).Proof }));
        Assert.False(CosignRules.Convicts(log.Verifier, seen, honest with { Proof = [Hash.Of("x"u8), .. honest.Proof.Skip(1)] }));
        Assert.False(CosignRules.Convicts(log.Verifier, seen, honest with { Proof = [] }));
        Assert.False(Decide(honest with { Proof = [] }, At(leaves, 10)).IsFork);
        // Nor does what the ledger has not signed, or a proof from another size.
        using var stranger = Signer(Origin, 9);
        Assert.False(CosignRules.Convicts(log.Verifier, seen, Asked(10, other, 23, stranger)));
        Assert.False(CosignRules.Convicts(log.Verifier, At(leaves, 10).Sign(stranger), Asked(10, other, 23)));
        Assert.False(CosignRules.Convicts(log.Verifier, seen, Asked(11, other, 23)));
        Assert.False(CosignRules.Convicts(log.Verifier, SignedNote.Sign("hello\n", log), Asked(10, other, 23)));
    }

    [Fact]
    public void A_proof_from_a_power_of_two_leaves_the_earlier_root_out_so_it_convicts_nobody()
    {
        // RFC 9162 section 2.1.4.2 step 2: the verifier puts the root there that it knows.
        Assert.Equal(CosignStatus.NotConsistent, Decide(Asked(8, other, 23), At(leaves, 8)).Status);
        Assert.False(Decide(Asked(8, other, 23), At(leaves, 8)).IsFork);
    }

    [Fact]
    public void A_consistency_proof_shows_the_root_it_starts_from_and_no_changed_one_shows_any()
    {
        for (var first = 1; first < 24; first++)
            for (var second = first + 1; second < 30; second++)
            {
                var (proof, root) = (Merkle.ConsistencyProof(first, second, Of(leaves)), At(leaves, second).Root);
                var power = (first & (first - 1)) == 0;
                Assert.Equal(power ? null : At(leaves, first).Root, Merkle.EarlierRoot(first, second, root, proof));
                for (var at = 0; at < proof.Length; at++)
                    Assert.Null(Merkle.EarlierRoot(first, second, root, [.. proof.Select((h, i) => i == at ? Hash.Of(h.ToArray()) : h)]));
            }
        Assert.Null(Merkle.EarlierRoot(5, 5, At(leaves, 5).Root, []));
        Assert.Null(Merkle.EarlierRoot(0, 5, At(leaves, 5).Root, []));
        Assert.Null(Merkle.EarlierRoot(9, 5, At(leaves, 5).Root, [Hash.Of("x"u8)]));
    }

    [Fact]
    public void A_request_is_read_as_it_was_written()
    {
        var asked = Asked(10, leaves, 23);
        var read = AddCheckpoint.Parse(asked.ToArray());
        Assert.Equal((asked.Old, asked.Checkpoint.Text), (read.Old, read.Checkpoint.Text));
        Assert.Equal(asked.Proof, read.Proof);
        Assert.StartsWith("old 10\n", Encoding.UTF8.GetString(asked.ToArray()), StringComparison.Ordinal);
    }

    [Fact] // the example request body of c2sp.org/tlog-witness, its first signature line
    public void The_published_request_is_read()
    {
        var read = AddCheckpoint.Parse(Encoding.UTF8.GetBytes(
            "old 20852014\nPlRNCrwHpqhGrupue0L7gxbjbMiKA9temvuZZDDpkaw=\njrJZDmY8Y7SyJE0MWLpLozkIVMSMZcD5kvuKxPC3swk=\n"
            + "5+pKlUdi2LeF/BcMHBn+Ku6yhPGNCswZZD1X/6QgPd8=\n/6WVhPs2CwSsb5rYBH5cjHV/wSmA79abXAwhXw3Kj/0=\n\n"
            + "example.com/behind-the-sofa\n20852163\nCsUYapGGPo4dkMgIAUqom/Xajj7h2fB2MPA3j2jxq2I=\n\n"
            + "\u2014 example.com/behind-the-sofa Az3grlgtzPICa5OS8npVmf1Myq/5IZniMp+ZJurmRDeOoRDe4URYN7u5/Zhcyv2q1gGzGku9nTo+zyWE+xeMcTOAYQ8=\n"));
        Assert.Equal((20852014, 4), (read.Old, read.Proof.Count));
        Assert.Equal(20852163, Checkpoint.Read(read.Checkpoint).Size);
    }

    [Theory]
    [InlineData("")]
    [InlineData("old 1\n")]
    [InlineData("new 1\n\n")]
    [InlineData("old 01\n\n")]
    [InlineData("old -1\n\n")]
    [InlineData("old 1 \n\n")]
    [InlineData("old 1\nAAAA\n\n")]
    public void A_request_that_is_none_is_refused(string head) =>
        Assert.StartsWith("cosign.request", Assert.Throws<Malformed>(() => AddCheckpoint.Parse([.. Encoding.UTF8.GetBytes(head), .. head.EndsWith("\n\n", StringComparison.Ordinal) ? At(leaves, 3).Sign(log).ToArray() : []])).Code, StringComparison.Ordinal);

    [Fact]
    public void More_than_63_proof_lines_are_refused() => Refused.With("cosign.request", () => AddCheckpoint.Parse(
        (Asked(0, leaves, 3) with { Proof = [.. Enumerable.Repeat(leaves[0], 64)] }).ToArray()));

    [Fact]
    public void An_answer_gives_the_cosignature_and_leaves_lines_of_strangers_aside()
    {
        using var stranger = Signer("stranger.example", 5, VerifierKey.Cosignature);
        var note = At(leaves, 10).Sign(log);
        byte[] Line(SignerKey by, ReadOnlySpan<byte> over) => Encoding.UTF8.GetBytes(by.Cosign(over, 1_900_000_000).Line + "\n");
        var read = CosignRules.ReadAnswer(note, [.. Line(stranger, note.TextBytes), .. Line(cosigner, note.TextBytes)], [cosigner.Verifier]);
        Assert.Equal("cosigner.example", Assert.Single(read).Name);
        Refused.With("cosign.answer", () => CosignRules.ReadAnswer(note, Line(stranger, note.TextBytes), [cosigner.Verifier]));
        Refused.With("cosign.answer", () => CosignRules.ReadAnswer(note, Line(cosigner, "another\n"u8), [cosigner.Verifier]));
        Refused.With("note.signature", () => CosignRules.ReadAnswer(note, "<html>\n"u8, [cosigner.Verifier]));
    }
}
