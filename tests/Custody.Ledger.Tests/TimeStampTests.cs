using System.Security.Cryptography.X509Certificates;
using Custody.Bats;
using Custody.Transparency;

namespace Custody.Ledger.Tests;

/// <summary>RFC 3161 time stamps, made by openssl.</summary>
public sealed class TimeStampTests(OpensslAuthority authority) : IClassFixture<OpensslAuthority>, IDisposable
{
    readonly TestLedger ledger = new();

    public void Dispose() => ledger.Dispose();

    byte[] Covered => TimeStamp.Covered(ledger.Signed(), [ledger.Key.Verifier]);

    static IReadOnlyList<X509Certificate2> RootOf(OpensslAuthority authority) => [X509Certificate2.CreateFromPem(authority.Root)];

    [Fact]
    public void A_stamp_under_a_given_root_is_trusted_and_tells_its_time()
    {
        var stamp = authority.Stamp(Covered);
        var verdict = TimeStamp.Verify(stamp, Covered, RootOf(authority));
        Assert.Equal((true, "CN=Bureau of Time", null), (verdict.IsTrusted, verdict.Authority, verdict.Fault));
        Assert.InRange(verdict.Time!.Value, DateTimeOffset.UtcNow.AddMinutes(-5), DateTimeOffset.UtcNow.AddMinutes(5));
        Assert.True(authority.Verifies(Covered, stamp));
    }

    [Fact]
    public void What_is_stamped_is_the_text_an_empty_line_and_the_ledgers_own_signature()
    {
        using var cosigner = SignerKey.FromSeed("cosigner.example", [.. Enumerable.Repeat((byte)3, 32)], VerifierKey.Cosignature);
        var note = ledger.Signed();
        Assert.Equal(note.ToArray(), Covered);
        Assert.Equal(Covered, TimeStamp.Covered(note.With(cosigner.Cosign(note.TextBytes, 1_900_000_000)), [ledger.Key.Verifier]));
    }

    [Fact]
    public void Without_the_right_root_it_is_told_whose_it_is_and_that_nobody_vouched()
    {
        using OpensslAuthority other = new();
        var stamp = authority.Stamp(Covered);
        var alone = TimeStamp.Verify(stamp, Covered, []);
        Assert.Equal((false, "CN=Bureau of Time"), (alone.IsTrusted, alone.Authority));
        var elsewhere = TimeStamp.Verify(stamp, Covered, RootOf(other));
        Assert.False(elsewhere.IsTrusted);
        Assert.NotNull(elsewhere.Time);
    }

    [Fact]
    public void Only_a_certificate_for_time_stamps_alone_and_critically_so_makes_a_stamp()
    {
        var time = new DateTimeOffset(2031, 4, 2, 9, 0, 0, TimeSpan.Zero);
        StampVerdict Of(StampForge forge)
        {
            using (forge) return TimeStamp.Verify(forge.Stamp(Covered, time), Covered, [forge.Root]);
        }
        Assert.Equal(new StampVerdict(time, "CN=Bureau of Forged Time", true, null), Of(new()));
        // RFC 3161 section 2.3: the extension stands there, is critical, and names this use and no other.
        Assert.Null(Of(new(withoutUses: true)).Time);
        Assert.Null(Of(new(critical: false)).Time);
        Assert.Null(Of(new(["1.3.6.1.5.5.7.3.1"])).Time);
        Assert.Null(Of(new(["1.3.6.1.5.5.7.3.8", "1.3.6.1.5.5.7.3.1"])).Time);
    }

    [Fact]
    public void A_stamp_made_after_the_certificate_ended_is_not_trusted_and_one_made_before_stays_so()
    {
        var end = new DateTimeOffset(2031, 4, 2, 9, 0, 0, TimeSpan.Zero);
        using StampForge forge = new(until: end);
        Assert.True(TimeStamp.Verify(forge.Stamp(Covered, end.AddMinutes(-1)), Covered, [forge.Root]).IsTrusted);
        Assert.False(TimeStamp.Verify(forge.Stamp(Covered, end.AddMinutes(1)), Covered, [forge.Root]).IsTrusted);
    }

    [Fact]
    public void Of_a_stamp_changed_in_any_byte_nothing_trusted_is_left()
    {
        var (stamp, covered, roots) = (authority.Stamp(Covered), Covered, RootOf(authority));
        Assert.Null(TimeStamp.Verify(stamp, [.. covered, (byte)'\n'], roots).Time);
        Assert.Null(TimeStamp.Verify(stamp.AsMemory()[..^1], covered, roots).Time);
        Assert.Null(TimeStamp.Verify((byte[])[.. stamp, 0], covered, roots).Time);
        Assert.Null(TimeStamp.Verify(ReadOnlyMemory<byte>.Empty, covered, roots).Time);
        Assert.Null(TimeStamp.Verify(new byte[TimeStamp.MaxBytes + 1], covered, roots).Time);
        var honest = TimeStamp.Verify(stamp, covered, roots).Time;
        for (var at = 0; at < stamp.Length; at += 7)
        {
            var changed = (byte[])stamp.Clone();
            changed[at] ^= 0x10;
            var verdict = TimeStamp.Verify(changed, covered, roots);
            // A byte of a certificate that nobody needs may change; what the authority said may not.
            Assert.True(!verdict.IsTrusted || verdict.Time == honest, $"byte {at}");
        }
    }

    [Fact]
    public void A_dossier_with_a_stamp_passes_check_9_under_the_root_and_bounds_time()
    {
        var bat = TestDossier.Life(ledger);
        var size = ledger.Size;
        // The stories' clock stands in another year than openssl's: the entries were recorded long after the stamp, which check 14 must say.
        Dictionary<string, ReadOnlyMemory<byte>> timeline = new()
        {
            [$"{size}.checkpoint"] = ledger.Signed().ToArray(),
            [$"{size}.consistency"] = ReadOnlyMemory<byte>.Empty,
            [$"{size}.tsr"] = authority.Stamp(Covered),
        };
        var zip = TestDossier.Packed(TestDossier.Request(ledger.Contents(bat) with { Timeline = timeline }));
        Report With(IReadOnlyList<X509Certificate2> roots) =>
            Checker.Run(DossierReader.Read(new MemoryStream(zip)), new Expected([ledger.Key.Verifier], null, TestDossier.Now) { TimeRoots = roots });
        Assert.Equal((CheckResult.Passed, "Stamped by CN=Bureau of Time."), (With(RootOf(authority)).Checks[8].Result, With(RootOf(authority)).Checks[8].Reason));
        Assert.Equal(CheckResult.Failed, With(RootOf(authority)).Checks[13].Result);
        Assert.Equal(CheckResult.OnHousesWord, With([]).Checks[8].Result);
        Assert.Equal(CheckResult.OnHousesWord, With([]).Checks[13].Result);
    }

    [Fact]
    public void An_old_tree_stamped_late_bounds_nothing_and_accuses_nobody()
    {
        // Entries of years ago, and a stamp of today over the tree before them: anyone who holds the old checkpoint can have that made.
        ledger.Clock = new(2019, 4, 2, 9, 0, 0, TimeSpan.Zero);
        var (size, covered) = (ledger.Size, Covered);
        Dictionary<string, ReadOnlyMemory<byte>> timeline = new() { [$"{size}.checkpoint"] = ledger.Signed().ToArray(), [$"{size}.tsr"] = authority.Stamp(covered) };
        var bat = ledger.Bat().Do(TestDossier.Registration(TestDossier.House, TestDossier.House) with { Occurred = Custody.Evidence.Edtf.Parse("2019-03") });
        timeline[$"{size}.consistency"] = ledger.Consistency(size);
        var zip = TestDossier.Packed(TestDossier.Request(ledger.Contents(bat) with { Timeline = timeline }) with { Photographs = [] });
        var check = Checker.Run(DossierReader.Read(new MemoryStream(zip)), new Expected([], null, TestDossier.Now) { TimeRoots = RootOf(authority) }).Checks[13];
        Assert.Equal(CheckResult.OnHousesWord, check.Result);
        Assert.Contains("of 1 time is the house's word only", check.Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void A_dossier_with_a_stamp_of_other_bytes_fails_check_9()
    {
        var bat = TestDossier.Life(ledger);
        var files = TestDossier.Files(TestDossier.Packed(TestDossier.Request(ledger.Contents(bat))));
        files[$"data/timeline/{ledger.Size}.checkpoint"] = ledger.Signed().ToArray();
        files[$"data/timeline/{ledger.Size}.tsr"] = authority.Stamp("something else"u8.ToArray());
        var report = TestDossier.Check(TestDossier.Packed(files), ledger.Key.Verifier);
        Assert.Equal([9], report.Checks.Where(c => c.Result == CheckResult.Failed).Select(c => c.Number));
    }
}
