using System.Diagnostics;
using System.Text.Json;
using Custody.Bats;
using Custody.Transparency;

namespace Custody.Ledger.Tests;

/// <summary>Many dossiers, good and broken, made by chance from a fixed seed.</summary>
public class GeneratedDossierTests
{
    [Fact]
    public void Of_200_good_dossiers_of_random_lives_none_fails_a_check()
    {
        for (ulong seed = 0; seed < 200; seed++)
        {
            using TestLedger ledger = new();
            var random = new Samples(seed);
            var bat = GeneratedDossiers.RandomLife(ledger, random);
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
            var lines = HistoryLines.Read(TestDossier.Lines(GeneratedDossiers.RandomLife(ledger, new Samples(seed)).Lines.Select(l => (ReadOnlyMemory<byte>)l.Bytes))).Lines;
            var reading = History.Of(lines.Select(l => l.Entry!)).AsCorrected();
            Assert.Equal(Jcs.Parse(JsonSerializer.SerializeToUtf8Bytes(reading.Sheet(), JsonText.Options)), ((Json.Obj)Jcs.Parse(Summary.Write(reading)))["sheet"]);
        }
    }

    [Fact]
    public void Of_300_archives_with_bytes_changed_cut_or_added_every_one_fails_or_still_holds_the_same_files()
    {
        using TestLedger ledger = new();
        var good = TestDossier.Good(ledger);
        for (ulong seed = 0; seed < 300; seed++)
        {
            var random = new Samples(seed);
            var damaged = GeneratedDossiers.Damaged(good, random);
            // A few bits of an archive mean nothing, such as by what program it was made: then every file must be the same.
            if (!TestDossier.Check(damaged, ledger.Key.Verifier).HasFailed) Assert.Equal(TestDossier.Files(good), TestDossier.Files(damaged));
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
            files[path] = GeneratedDossiers.Changed(files[path], random);
            if (files[path].AsSpan().SequenceEqual(good[path])) continue;
            var report = TestDossier.Check(TestDossier.Packed(files), ledger.Key.Verifier);
            Assert.True(report.HasFailed, $"{seed}: {path} accepted: " + string.Join(" | ", report.Checks.Select(c => $"{c.Number} {c.Result} {c.Reason}")));
        }
    }

    [Fact]
    public void For_a_while_dossiers_damaged_in_new_ways_on_every_run_are_checked_without_a_crash()
    {
        using TestLedger ledger = new();
        var zip = TestDossier.Good(ledger);
        var good = TestDossier.Files(zip);
        var clock = Stopwatch.StartNew();
        while (clock.Elapsed < TimeSpan.FromSeconds(4))
        {
            var seed = (ulong)Random.Shared.NextInt64();
            try
            {
                var random = new Samples(seed);
                SortedDictionary<string, byte[]> files = new(good, StringComparer.Ordinal);
                for (var wounds = 1 + random.Below(3); wounds > 0; wounds--)
                {
                    var path = files.Keys.ElementAt(random.Below(files.Count));
                    files[path] = GeneratedDossiers.Changed(files[path], random);
                }
                TestDossier.Check(random.Chance(2) ? TestDossier.Packed(files) : GeneratedDossiers.Damaged(zip, random), ledger.Key.Verifier);
            }
            catch (Exception crash)
            {
                Assert.Fail($"seed {seed}: {crash}");
            }
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
