using System.Text.Json;
using Custody.Bats;
using Custody.Evidence;
using Custody.Transparency;

namespace Custody.Ledger.Tests;

/// <summary>Many dossiers, good and broken, made by chance from a fixed seed.</summary>
public class GeneratedDossierTests
{
    [Fact]
    public void Of_60_good_dossiers_of_random_lives_none_fails_a_check()
    {
        for (ulong seed = 0; seed < 60; seed++)
        {
            using TestLedger ledger = new();
            var random = new Samples(seed);
            var bat = RandomLife(ledger, random);
            var shown = bat.Show("description", "name", "place", "condition").Where(_ => random.Chance(2));
            var request = TestDossier.Request(ledger.Contents(bat), shown);
            var report = TestDossier.Check(TestDossier.Packed(random.Chance(2) ? request : request with { Photographs = [] }), random.Chance(2) ? ledger.Key.Verifier : null);
            Assert.True(!report.HasFailed, $"{seed}: " + string.Join("\n", report.Checks.Select(c => $"{c.Number} {c.Result} {c.Reason}")));
        }
    }

    [Fact]
    public void The_summary_writes_the_sheet_as_the_serializer_does()
    {
        for (ulong seed = 0; seed < 20; seed++)
        {
            using TestLedger ledger = new();
            var lines = HistoryLines.Read(TestDossier.Lines(RandomLife(ledger, new Samples(seed)).Lines.Select(l => (ReadOnlyMemory<byte>)l.Bytes))).Lines;
            var reading = History.Of(lines.Select(l => l.Entry!)).AsCorrected();
            Assert.Equal(Jcs.Parse(JsonSerializer.SerializeToUtf8Bytes(reading.Sheet(), JsonText.Options)), ((Json.Obj)Jcs.Parse(Summary.Write(reading)))["sheet"]);
        }
    }

    static TestStream<Bat> RandomLife(TestLedger ledger, Samples random)
    {
        var bat = TestDossier.Life(ledger);
        var (holder, other) = (TestDossier.House, TestDossier.Owner); // the first hand-over is under way
        for (var steps = random.Below(12); steps > 0; steps--)
        {
            switch (random.Below(5))
            {
                case 0 when bat.State.Keeping.InTransit is { } n:
                    bat.Do(new ReceiveBat(n, null, Attestation.Account, default, null, IdentityResult.NotChecked, "a hall", null, "as before", null, null) { By = other });
                    (holder, other) = (other, holder);
                    break;
                case 1 when bat.State.Keeping.InTransit is null:
                    bat.Do(TestDossier.Released(other) with { By = holder });
                    break;
                case 2:
                    bat.Do(new IssueLabel(LabelForm.Card, LabelPlace.Box, "LABELS.EXAMPLE", []) { By = TestDossier.House });
                    break;
                case 3 when ledger.Earlier.Count < 2:
                    ledger.Rotate();
                    break;
                default:
                    bat.Do(new ReportIncident(default, default, null, AssertionBasis.Letter, [], null, "a barn", "it fell", null) { By = TestDossier.Owner, Occurred = Edtf.Parse("1960?") });
                    break;
            }
        }
        return bat;
    }

    [Fact]
    public void Of_300_archives_with_bytes_changed_cut_or_added_every_one_fails_or_still_holds_the_same_files()
    {
        using TestLedger ledger = new();
        var good = TestDossier.Good(ledger);
        for (ulong seed = 0; seed < 300; seed++)
        {
            var random = new Samples(seed);
            var damaged = Damaged(good, random);
            // A few bits of an archive mean nothing, such as by what program it was made: then every file must be the same.
            if (!TestDossier.Check(damaged, ledger.Key.Verifier).HasFailed) Assert.Equal(TestDossier.Files(good), TestDossier.Files(damaged));
        }
    }

    static byte[] Damaged(byte[] good, Samples random)
    {
        var at = random.Below(good.Length);
        switch (random.Below(4))
        {
            case 0:
                return good[..at];
            case 1:
                return [.. good[..at], (byte)random.Below(256), .. good[at..]];
            case 2:
                return [.. good[..at], .. good[Math.Min(at + 1 + random.Below(40), good.Length)..]];
            default:
                var flipped = (byte[])good.Clone();
                flipped[at] ^= (byte)(1 << random.Below(8));
                return flipped;
        }
    }

    [Fact]
    public void Of_500_bags_packed_again_around_a_changed_file_every_one_fails_and_none_crashes()
    {
        using TestLedger ledger = new();
        var good = TestDossier.Files(TestDossier.Good(ledger));
        for (ulong seed = 0; seed < 500; seed++)
        {
            var random = new Samples(seed);
            SortedDictionary<string, byte[]> files = new(good, StringComparer.Ordinal);
            var path = files.Keys.ElementAt(random.Below(files.Count));
            files[path] = Changed(files[path], random);
            if (files[path].AsSpan().SequenceEqual(good[path])) continue;
            var report = TestDossier.Check(TestDossier.Packed(files), ledger.Key.Verifier);
            Assert.True(report.HasFailed, $"{seed}: {path} accepted: " + string.Join(" | ", report.Checks.Select(c => $"{c.Number} {c.Result} {c.Reason}")));
        }
    }

    // Bytes, characters that mean something in JSON and notes, or whole lines.
    static byte[] Changed(byte[] file, Samples random)
    {
        if (file.Length == 0) return [1];
        var at = random.Below(file.Length);
        switch (random.Below(5))
        {
            case 0:
                var flipped = (byte[])file.Clone();
                flipped[at] ^= (byte)(1 << random.Below(8));
                return flipped;
            case 1:
                return file[..at];
            case 2:
                return [.. file[..at], (byte)"{}[],:\"\n 0+"[random.Below(11)], .. file[at..]];
            case 3:
                var lines = file.Text().Split('\n').ToList();
                lines.RemoveAt(random.Below(lines.Count));
                return string.Join('\n', lines).Bytes();
            default:
                var doubled = file.Text().Split('\n').ToList();
                doubled.Insert(random.Below(doubled.Count), doubled[random.Below(doubled.Count)]);
                return string.Join('\n', doubled).Bytes();
        }
    }

    [Fact]
    public void No_random_text_in_place_of_a_file_crashes_the_checker()
    {
        using TestLedger ledger = new();
        var good = TestDossier.Files(TestDossier.Good(ledger));
        foreach (var path in good.Keys.ToList())
        {
            foreach (var text in new[] { "", "\n", "{}", "[]", "null", "[[[[", "{\"gone\":{}}\n", "\u0000", "1e999", "{\"v\":\"custody-entry/1\"}\n", "c2sp.org/tlog-proof@v1\n\n", "a\n\n\u2014 b c\n", new string('[', 100_000) })
            {
                SortedDictionary<string, byte[]> files = new(good, StringComparer.Ordinal) { [path] = text.Bytes() };
                Assert.True(TestDossier.Check(TestDossier.Packed(files), ledger.Key.Verifier).HasFailed, $"{path}: {text}");
            }
        }
    }
}
