using System.Security.Cryptography.X509Certificates;
using Custody.Bats;
using Custody.Evidence;
using Custody.Transparency;

namespace Custody.Ledger.Tests;

/// <summary>One broken dossier.</summary>
/// <param name="Check">The one check that must fail.</param>
/// <param name="Name">What was done to it.</param>
sealed record Mutation(int Check, string Name, Func<Workshop, byte[]> Make)
{
    public VerifierKey? Key { get; init; }

    public string? Label { get; init; }

    /// <summary>Text of the reader's policy on cosigners; null when none.</summary>
    public string? Policy { get; init; }

    public IReadOnlyList<X509Certificate2> TimeRoots { get; init; } = [];

    /// <summary>Checks that cannot but fail too, because the same bytes are their matter as well.</summary>
    public IReadOnlyList<int> AlsoFails { get; init; } = [];
}

/// <summary>Where dossiers are forged: a ledger of one's own, whose log, proofs and signatures are as good as any.</summary>
sealed class Workshop : IDisposable
{
    public Workshop()
    {
        Ledger = new TestLedger();
        Bat = TestDossier.Life(Ledger);
        Shown = [.. Bat.Show("description", "name", "paperHash")];
        Good = TestDossier.Packed(TestDossier.Request(Ledger.Contents(Bat), Shown) with
        {
            Documents = [new(Hash.Of(TestDossier.Paper).Text, "pdf", () => new MemoryStream(TestDossier.Paper))],
        });
    }

    public TestLedger Ledger { get; }

    public TestStream<Bat> Bat { get; }

    public IReadOnlyList<Shown> Shown { get; }

    public byte[] Good { get; }

    public void Dispose() => Ledger.Dispose();

    /// <summary>The good dossier with one file changed; null takes it away.</summary>
    public byte[] With(string path, Func<byte[], byte[]?> change)
    {
        var files = TestDossier.Files(Good);
        if (change(files.GetValueOrDefault(path) ?? []) is { } changed) files[path] = changed;
        else files.Remove(path);
        return TestDossier.Packed(files);
    }

    public byte[] WithText(string path, Func<string, string> change) => With(path, b => change(b.Text()).Bytes());

    /// <summary>The good dossier's other files around what the forger's ledger now holds.</summary>
    public byte[] Forged(Func<LedgerContents, LedgerContents>? change = null)
    {
        var own = Ledger.Contents(Bat);
        return TestDossier.Forged(Good, change?.Invoke(own) ?? own);
    }

    /// <summary>One more entry of the bat, whatever it holds, in chain and log like any other.</summary>
    public byte[] ForgedEntry(Func<Json.Obj, Json.Obj> change)
    {
        Bat.ForgeBytes(Reported, bytes => Jcs.Write(change((Json.Obj)Jcs.Parse(bytes))));
        return Forged();
    }

    public byte[] ForgedBody(Func<Json.Obj, Json.Obj> change) => ForgedEntry(e => e.With("body", change(e.Require<Json.Obj>("body"))));

    /// <summary>A fact that the rules always allow: a report.</summary>
    public static BatFact Reported => new IncidentReported(default, default, null, AssertionBasis.HoldersWord, [], [], null, "a dent", null);

    public static LedgerContents Signed(LedgerContents contents, byte[] checkpoint) => contents with
    {
        Checkpoint = checkpoint,
        Proofs = contents.Proofs.ToDictionary(p => p.Key, p => (ReadOnlyMemory<byte>)(TlogProof.Parse(p.Value.Span) with { Checkpoint = checkpoint }).ToArray()),
    };

    public static byte[] Flip(byte[] bytes, int fromEnd)
    {
        var changed = (byte[])bytes.Clone();
        changed[^fromEnd] = changed[^fromEnd] == (byte)'A' ? (byte)'B' : (byte)'A';
        return changed;
    }
}
