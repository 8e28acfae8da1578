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

    [Theory]
    [InlineData("timeStamping")]
    [InlineData("critical,timeStamping,serverAuth")]
    public void An_authority_whose_certificate_is_not_for_time_stamps_alone_is_not_trusted(string usage)
    {
        // openssl refuses to stamp with such a certificate, or stamps; either way nothing trusted may come of it.
        using var odd = OpensslAuthority.With(usage);
        byte[] stamp;
        try
        {
            stamp = odd.Stamp(Covered);
        }
        catch (InvalidOperationException)
        {
            return;
        }
        Assert.False(TimeStamp.Verify(stamp, Covered, RootOf(odd)).IsTrusted);
    }

    [Fact]
    public void A_stamp_made_after_the_certificate_ended_is_not_trusted()
    {
        using var late = OpensslAuthority.With("critical,timeStamping", "-days", "-1");
        var verdict = TimeStamp.Verify(late.Stamp(Covered), Covered, RootOf(late));
        Assert.False(verdict.IsTrusted);
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
