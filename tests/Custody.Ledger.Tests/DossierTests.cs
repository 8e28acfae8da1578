using Custody.Bats;
using Custody.Evidence;
using Custody.Transparency;

namespace Custody.Ledger.Tests;

public sealed class DossierTests : IDisposable
{
    static readonly string[] ReadByPeople = ["READ-ME.txt", "data/summary.json", "data/history.html"];
    readonly TestLedger ledger = new();

    public void Dispose() => ledger.Dispose();

    static string Outcomes(Report report) => string.Join(' ', report.Checks.Select(c => $"{c.Number}:{c.Result}"));

    static void FailsNothing(Report report) =>
        Assert.True(!report.HasFailed, string.Join("\n", report.Checks.Where(c => c.Result == CheckResult.Failed).Select(c => $"{c.Number} {c.Reason}")));

    static Check Of(Report report, int number) => report.Checks[number - 1];

    [Fact]
    public void A_good_dossier_fails_nothing_and_says_what_it_cannot_tell()
    {
        var report = TestDossier.Check(TestDossier.Good(ledger), ledger.Key.Verifier);
        Assert.Equal(
            "1:Passed 2:Passed 3:Passed 4:Passed 5:Passed 6:OnHousesWord 7:Passed 8:Passed 9:NotChecked 10:Passed 11:Passed 12:Passed 13:NotChecked 14:OnHousesWord 15:Passed",
            Outcomes(report));
        Assert.True(report.IsVouched);
    }

    [Fact]
    public void Without_a_key_the_signature_is_the_houses_word_and_whose_it_is_is_said()
    {
        var report = TestDossier.Check(TestDossier.Good(ledger));
        Assert.Equal(CheckResult.OnHousesWord, Of(report, 5).Result);
        Assert.Contains(ledger.Key.Verifier.Text, Of(report, 5).Reason, StringComparison.Ordinal);
        Assert.False(report.IsVouched);
    }

    /// <summary>These files are made again by every later checker. Whoever changes what is written changes its version, and keeps the old one.</summary>
    [Fact]
    public void What_people_read_is_written_as_approved_for_its_version()
    {
        var files = TestDossier.Files(TestDossier.Good(ledger));
        Approved.Equal(string.Join('\n', ReadByPeople.Select(f => $"== {f}\n{files[f].Text()}")), "Told");
    }

    [Fact]
    public void A_summary_of_a_version_this_checker_does_not_know_is_not_checked()
    {
        var files = TestDossier.Files(TestDossier.Good(ledger));
        files["data/summary.json"] = files["data/summary.json"].Text().Replace(Summary.Version, "custody-summary/2", StringComparison.Ordinal).Bytes();
        Assert.Equal(CheckResult.NotChecked, Of(TestDossier.Check(TestDossier.Packed(files)), 11).Result);
    }

    [Fact]
    public void The_same_request_under_the_same_checkpoint_gives_the_same_bytes()
    {
        using TestLedger again = new();
        Assert.Equal(TestDossier.Good(ledger), TestDossier.Good(again));
    }

    [Fact]
    public void The_head_says_how_old_the_dossier_is() =>
        Assert.Contains("complete as of 2031-04-02T09:06:00Z, 28 days ago", Of(TestDossier.Check(TestDossier.Good(ledger)), 6).Reason, StringComparison.Ordinal);

    [Fact]
    public void Nothing_need_be_shown()
    {
        var report = TestDossier.Check(TestDossier.Packed(TestDossier.Request(ledger.Contents(TestDossier.Life(ledger)))), ledger.Key.Verifier);
        FailsNothing(report);
        Assert.Equal(0, report.Shown);
    }

    [Fact]
    public void A_dossier_without_its_pictures_is_not_condemned_but_the_check_says_which_are_missing()
    {
        var request = TestDossier.Request(ledger.Contents(TestDossier.Life(ledger))) with { Photographs = [] };
        var report = TestDossier.Check(TestDossier.Packed(request), ledger.Key.Verifier);
        FailsNothing(report);
        Assert.Equal(CheckResult.NotChecked, Of(report, 8).Result);
        Assert.Contains("not here: 1 of 1", Of(report, 8).Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void A_key_that_was_rotated_since_still_vouches()
    {
        var (bat, first) = (TestDossier.Life(ledger), ledger.Key.Verifier);
        ledger.Rotate();
        ledger.Rotate();
        var zip = TestDossier.Packed(TestDossier.Request(ledger.Contents(bat)));
        Assert.Equal(CheckResult.Passed, Of(TestDossier.Check(zip, first), 5).Result);
        Assert.Equal(CheckResult.Passed, Of(TestDossier.Check(zip, ledger.Key.Verifier), 5).Result);
    }

    [Fact]
    public void After_a_compromise_only_the_new_key_vouches()
    {
        var bat = TestDossier.Life(ledger);
        ledger.Rotate(compromised: true);
        var zip = TestDossier.Packed(TestDossier.Request(ledger.Contents(bat)));
        FailsNothing(TestDossier.Check(zip, ledger.Key.Verifier));
        Assert.Equal(CheckResult.Failed, Of(TestDossier.Check(zip, ledger.Earlier[0].Verifier), 5).Result);
    }

    [Fact]
    public void A_forger_who_names_the_trusted_key_in_a_ledger_of_their_own_is_not_believed()
    {
        // The forger's first entry names the real key and promises their own; a compromise then needs only their own signature.
        using TestLedger forger = new(promised: 9);
        var bat = TestDossier.Life(forger);
        forger.Rotate(compromised: true);
        var report = TestDossier.Check(TestDossier.Packed(TestDossier.Request(forger.Contents(bat))), ledger.Key.Verifier);
        Assert.Equal(CheckResult.Failed, Of(report, 5).Result);
    }

    [Fact]
    public void An_entry_that_is_gone_keeps_its_place_and_what_follows_is_not_decided_again()
    {
        var bat = TestDossier.Life(ledger);
        var own = ledger.Contents(bat);
        var gone = new Gone(2, bat.Lines[1].Hash, ledger.Own.Reference(2)).ToLine();
        var zip = TestDossier.Packed(TestDossier.Request(own with { History = [own.History[0], gone, .. own.History.Skip(2)] }));
        var report = TestDossier.Check(zip, ledger.Key.Verifier);
        FailsNothing(report);
        Assert.Equal(CheckResult.NotChecked, Of(report, 10).Result);
        Assert.Equal(CheckResult.NotChecked, Of(report, 11).Result);
        // What is gone may have been the end of the label.
        Assert.Equal(CheckResult.NotChecked, Of(report, 12).Result);
        Assert.Contains("1 of them are gone", Of(report, 3).Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void The_end_of_a_label_whose_issue_is_gone_is_told_and_ends_nothing_that_is_here()
    {
        var bat = TestDossier.Life(ledger).Do(new VoidLabel(3, LabelEndGround.Lost, null) { By = TestDossier.House });
        var own = ledger.Contents(bat);
        var gone = new Gone(3, bat.Lines[2].Hash, ledger.Own.Reference(2)).ToLine();
        var zip = TestDossier.Packed(TestDossier.Request(own with { History = [.. own.History.Take(2), gone, .. own.History.Skip(3)] }));
        var report = TestDossier.Check(zip, ledger.Key.Verifier);
        FailsNothing(report);
        Assert.Equal((CheckResult.NotChecked, CheckResult.NotChecked), (Of(report, 10).Result, Of(report, 12).Result));
        Assert.Contains("entry 3 is gone", Of(report, 10).Reason, StringComparison.Ordinal);
        var page = TestDossier.Files(zip)["data/history.html"].Text();
        Assert.Contains("An entry that is gone", page, StringComparison.Ordinal);
        Assert.Contains("Label voided", page, StringComparison.OrdinalIgnoreCase);
    }

    [Fact]
    public void What_was_decided_while_an_entry_was_lost_is_not_condemned_once_it_is_back()
    {
        // Entry 4 gives the bat away; what comes after it was decided by a ledger that had lost it, and said so.
        var bat = TestDossier.Life(ledger);
        var lost = bat.Lines[3].Index;
        ledger.Own.Record(new LedgerRestored(lost, lost, null));
        bat.Forge(new BatMoved(MoveReason.Storage, null, null, null), at => at with { By = new Alias(1) });
        var own = ledger.Contents(bat);
        var zip = TestDossier.Packed(TestDossier.Request(own));
        var report = TestDossier.Check(zip, ledger.Key.Verifier);
        FailsNothing(report);
        Assert.Equal(CheckResult.NotChecked, Of(report, 10).Result);
        Assert.Contains("decided while entry 4 was lost", Of(report, 10).Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void A_restore_excuses_nothing_that_was_decided_before_it_and_nothing_on_other_streams()
    {
        var bat = TestDossier.Life(ledger);
        ledger.Own.Record(new LedgerRestored(1, 1, null));
        bat.Forge(new BatMoved(MoveReason.Storage, null, null, null), at => at with { By = new Alias(1) });
        Assert.Throws<InvalidOperationException>(() => TestDossier.Packed(TestDossier.Request(ledger.Contents(bat))));
    }

    [Fact]
    public void An_event_type_from_the_future_is_not_checked_and_not_condemned()
    {
        var bat = TestDossier.Life(ledger).ForgeBytes(Workshop.Reported, b => b.Text().Replace("IncidentReported", "IncidentReported.2", StringComparison.Ordinal).Bytes());
        var report = TestDossier.Check(TestDossier.Forged(TestDossier.Packed(TestDossier.Request(Young())), ledger.Contents(bat)), ledger.Key.Verifier);
        FailsNothing(report);
        Assert.Equal([2, 9, 10, 11, 12, 13, 15], report.Checks.Where(c => c.Result == CheckResult.NotChecked).Select(c => c.Number));
        Assert.Contains("IncidentReported.2", Of(report, 2).Reason, StringComparison.Ordinal);
    }

    [Fact]
    public void Rules_this_checker_does_not_know_are_not_checked()
    {
        ledger.Own.Record(new RulesAdopted(2, Hash.Of("rules two"u8).Text));
        var bat = TestDossier.Life(ledger).Forge(Workshop.Reported, at => at with { Rules = 2 });
        var report = TestDossier.Check(TestDossier.Forged(TestDossier.Packed(TestDossier.Request(Young())), ledger.Contents(bat)), ledger.Key.Verifier);
        Assert.Equal(CheckResult.NotChecked, Of(report, 10).Result);
        Assert.Contains("rules 2", Of(report, 10).Reason, StringComparison.Ordinal);
        FailsNothing(report);
    }

    // Some other dossier of the same look, for its files.
    static LedgerContents Young()
    {
        using TestLedger other = new();
        return other.Contents(TestDossier.Life(other));
    }

    [Fact]
    public void A_history_that_goes_on_from_another_ledgers_carries_both()
    {
        var (zip, older) = Continued();
        var report = TestDossier.Check(zip, ledger.Key.Verifier);
        FailsNothing(report);
        FailsNothing(TestDossier.Check(zip, older.Key.Verifier));
        older.Dispose();
        Assert.Equal(["ledger.example", "older.example/bats"], report.Histories.Select(h => h.Origin));
        // The reader's key vouches for one of the two ledgers only.
        Assert.Equal(CheckResult.OnHousesWord, Of(report, 5).Result);
    }

    [Fact]
    public void An_earlier_history_without_the_entry_the_later_one_cites_fails_the_chain()
    {
        var (zip, older) = Continued();
        var files = TestDossier.Files(zip);
        var folder = "data/earlier/older.example+bats/";
        var cut = older.Contents(TestDossier.Life(older, 'F'));
        foreach (var path in files.Keys.Where(p => p.StartsWith(folder, StringComparison.Ordinal)).ToList()) files.Remove(path);
        files[folder + "history.jsonl"] = TestDossier.Lines(cut.History);
        files[folder + "context.jsonl"] = TestDossier.Lines(cut.Context);
        files[folder + "checkpoint"] = cut.Checkpoint.ToArray();
        files[folder + "head"] = cut.Head.ToArray();
        foreach (var (index, proof) in cut.Proofs) files[$"{folder}proofs/{index}.tlog-proof"] = proof.ToArray();
        var failed = TestDossier.Check(TestDossier.Packed(files)).Checks.Where(c => c.Result == CheckResult.Failed).ToList();
        Assert.Contains(3, failed.Select(c => c.Number));
        older.Dispose();
    }

    (byte[] Zip, TestLedger Older) Continued()
    {
        TestLedger older = new("older.example/bats", seed: 40);
        var there = TestDossier.Life(older, 'E');
        var contents = older.Contents(there);
        var checkpoint = Checkpoint.Read(SignedNote.Parse(contents.Checkpoint.Span));
        var here = TestDossier.Life(ledger).Do(new ContinueFrom(
            there.Reference(there.Lines[^1].N) with { Ledger = older.Origin }, new CheckpointAt(checkpoint.Size, checkpoint.Root.Text))
        { By = TestDossier.House });
        return (TestDossier.Packed(TestDossier.Request(ledger.Contents(here), here.Show("name")) with { Earlier = [contents] }), older);
    }

    [Fact]
    public void The_writer_hands_out_no_dossier_that_would_fail()
    {
        var bat = TestDossier.Life(ledger).Forge(Workshop.Reported, at => at with { Prev = Hash.Of("x"u8).Text });
        var refused = Assert.Throws<InvalidOperationException>(() => TestDossier.Packed(TestDossier.Request(ledger.Contents(bat))));
        Assert.Contains("check 3", refused.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void The_page_is_escaped_without_script_in_order_of_occurrence_with_both_times_and_what_is_withheld()
    {
        var bat = TestDossier.Life(ledger).Do(new ReportIncident(default, default, null, AssertionBasis.Letter, [], null, null, null, null) { By = TestDossier.House, Occurred = Edtf.Parse("1951-07") });
        var files = TestDossier.Files(TestDossier.Packed(TestDossier.Request(ledger.Contents(bat), bat.Show("description"))));
        var page = files["data/history.html"].Text();
        Assert.Contains("ash, &lt;34 in&gt;, &quot;taped&quot;", page, StringComparison.Ordinal);
        Assert.DoesNotContain("<script", page, StringComparison.OrdinalIgnoreCase);
        Assert.DoesNotContain("http://", page, StringComparison.Ordinal);
        Assert.True(page.IndexOf("Incident reported", StringComparison.Ordinal) < page.IndexOf("Bat registered", StringComparison.Ordinal));
        Assert.Contains("Said to have happened 2031-04-01~; recorded 2031-04-02T09:02:00Z", page, StringComparison.Ordinal);
        Assert.Contains("Kept back, or never said", page, StringComparison.Ordinal);
        Assert.DoesNotContain("a back room", page, StringComparison.Ordinal);
        foreach (var caution in Cautions.Said) Assert.Contains(System.Net.WebUtility.HtmlEncode(caution), page, StringComparison.Ordinal);
    }

    [Fact]
    public void Every_event_type_can_be_told_with_everything_it_says()
    {
        var bat = ledger.Bat();
        foreach (var type in Shapes.Names) bat.Forge(Samples.For(type).Fact(type, full: true));
        var shown = bat.Lines.SelectMany(l => l.Withheld.Select(w => new Shown(bat.Name.ToString(), l.N, w.Pointer, w.Disclosure)));
        var files = TestDossier.Files(TestDossier.Good(ledger));
        var zip = TestDossier.Forged(TestDossier.Packed(files.Where(f => f.Key != "data/disclosures.json").Append(KeyValuePair.Create("data/disclosures.json", DisclosuresFile.Write(shown)))), ledger.Contents(bat));
        var report = TestDossier.Check(zip, ledger.Key.Verifier);
        Assert.Equal(CheckResult.Passed, Of(report, 7).Result);
        Assert.Equal(Shapes.Names.Count, report.Histories[0].Entries.Count);
        Assert.Empty(report.Histories[0].Unshown);
        Assert.All(report.Histories[0].Entries, e => Assert.NotEmpty(e.Said));
    }

    [Fact]
    public void A_corrected_entry_is_told_as_corrected_and_a_void_one_as_void()
    {
        var bat = TestDossier.Life(ledger);
        bat.Do(new CorrectEntry(CorrectionKind.Clerical, bat.Reference(1), "/body/description", null, new("hickory"), null, null, null) { By = TestDossier.House });
        bat.Do(new CorrectEntry(CorrectionKind.DidNotHappen, bat.Reference(3), null, null, null, null, null, null) { By = TestDossier.House });
        var page = TestDossier.Files(TestDossier.Packed(TestDossier.Request(ledger.Contents(bat), bat.Show("description", "newText"))))["data/history.html"].Text();
        Assert.Contains("<dd>hickory</dd>", page, StringComparison.Ordinal);
        Assert.DoesNotContain("34 in", page, StringComparison.Ordinal);
        Assert.Contains("Told as corrected by entry 5.", page, StringComparison.Ordinal);
        Assert.Contains("This did not happen here, says entry 6.", page, StringComparison.Ordinal);
    }

    [Fact]
    public void What_is_withheld_stands_nowhere_in_the_dossier()
    {
        var bat = TestDossier.Life(ledger);
        var zip = System.Text.Encoding.Latin1.GetString(TestDossier.Packed(TestDossier.Request(ledger.Contents(bat), bat.Show("description"))));
        foreach (var kept in bat.Lines.SelectMany(l => l.Withheld).Where(w => w.Name != "description"))
        {
            Assert.DoesNotContain(kept.Salt, zip, StringComparison.Ordinal);
            Assert.DoesNotContain(kept.Disclosure, zip, StringComparison.Ordinal);
        }
        foreach (var word in new[] { "a back room", "a counter", "a camera", "LABELS.EXAMPLE", "Someone of" }) Assert.DoesNotContain(word, zip, StringComparison.Ordinal);
    }

    [Fact]
    public void A_cited_entry_must_stand_earlier_in_the_log()
    {
        var entry = EntryCodec.Read(TestDossier.Life(ledger).Lines[0].Bytes);
        CitableEntries citable = new();
        citable.Add(7, entry);
        Assert.Same(entry, citable.Before(8).Find(entry.Reference));
        Assert.Null(citable.Before(7).Find(entry.Reference));
        Assert.Null(citable.Before(8).Find(entry.Reference with { Hash = Hash.Of("x"u8).Text }));
        Assert.Null(citable.Before(8).Find(entry.Reference with { Ledger = "other.example" }));
    }

    [Fact]
    public void The_list_of_checks_is_the_published_one() => Approved.Equal(
        string.Concat(CheckList.All.Select(c => $"{c.Number} {c.Name}\n   by custody-verify: {c.ByCommand}\n   by the checker page: {c.ByPage}\n   by a label's page: {c.ByLabelPage}\n   otherwise: {c.Elsewhere}\n")), "CheckList");
}
