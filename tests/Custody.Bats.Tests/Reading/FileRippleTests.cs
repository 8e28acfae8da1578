using Custody.Evidence;
using static Custody.Bats.Tests.Scene;

namespace Custody.Bats.Tests;

/// <summary>A source of a habit file falls: every opinion, lot text and label that rests on it is listed and waits.</summary>
public class FileRippleTests
{
    static readonly DateTimeOffset Later = new(2030, 1, 1, 0, 0, 0, TimeSpan.Zero);

    static RecordOccasion Seen(int value) => new(
        OccasionKind.InPlayPicture, Edtf.Parse("1952"), null, null, BatEntry.NotABat, [new Observation(2, Observed.Seen, value)], null, null, "a print")
    { By = House };

    static readonly VersionCounts Versioned = new([2], null) { By = House };

    /// <summary>Entries 3 and 4 are sources, 5 a version that counts both.</summary>
    static Story<HabitFile> File() => new Story<HabitFile>("habits").Given(
        new OpenHabitFile(Player, House, Edtf.Parse("1948/1956"), null) { By = House },
        new DefineCharacteristic(HabitFileTests.Tape, null, "tape", ["rings", "spiral", "criss-cross"]) { By = House }, Seen(1), Seen(2), Versioned);

    static WithdrawOccasion Withdraw(long n) => new(n, SourceWithdrawalGround.AnotherPerson, "not him") { By = House };

    static Reference To(Entry entry) => new(null, entry.Envelope.Stream, entry.N, entry.Hash);

    /// <summary>An opinion (5) under that version, and a label (6) that carries it.</summary>
    static Story<Bat> Weighed(Entry version) => Examined().Citing(version).Given(
        Opine(2) with { HabitFile = To(version) }, new IssueLabel(LabelForm.Card, LabelPlace.TiedTag, "host.example", [5]) { By = House });

    static IEnumerable<(long, string)> Waiting(Story<Bat> bat, Story<HabitFile> file) => History.Of(bat.Entries).AsCorrected()
        .Work(Later, FileWithdrawal.In(file.Entries)).FilesFell.Select(f => (f.Entry, f.Type));

    [Fact]
    public void A_withdrawn_source_opens_the_opinion_and_the_label_that_rest_on_it()
    {
        var file = File();
        var bat = Weighed(file.Entries[4]);
        Assert.Empty(Waiting(bat, file));
        file.At("2024-04-01").Given(Withdraw(3));
        Assert.Equal([(5L, "OpinionGiven"), (6L, "LabelIssued")], Waiting(bat, file));
        Assert.Equal([5L, 6L], History.Of(bat.Entries).AsCorrected().RestingOn(file.Entries[0].Envelope.Stream, 4).Select(r => r.Entry));
    }

    [Fact]
    public void A_source_recorded_after_the_version_or_withdrawn_before_it_opens_nothing()
    {
        var file = File();
        var bat = Weighed(file.Entries[4]);
        file.Given(Seen(3), Withdraw(6));
        Assert.Empty(Waiting(bat, file));

        var withdrawnBefore = File().Given(Withdraw(3), Versioned);
        Assert.Empty(Waiting(Weighed(withdrawnBefore.Entries[6]), withdrawnBefore));
    }

    [Fact]
    public void A_confirmation_that_names_the_withdrawal_settles_one_entry_and_a_new_opinion_another()
    {
        var file = File();
        var bat = Weighed(file.Entries[4]);
        file.At("2024-04-01").Given(Withdraw(3));
        var cause = To(file.Entries[5]);
        bat.Citing(file.Entries[5]).At("2024-04-02").Given(new ConfirmEntry(6, "it names no player", cause) { By = House });
        Assert.Equal([(5L, "OpinionGiven")], Waiting(bat, file));
        bat.Given(Opine(2) with { Supersedes = [5] });
        Assert.Empty(Waiting(bat, file));
    }

    [Fact]
    public void What_settled_an_entry_before_the_source_fell_does_not_settle_it_now()
    {
        var file = File();
        var bat = Weighed(file.Entries[4]);
        file.At("2024-04-01").Given(Withdraw(3));
        bat.Citing(file.Entries[5]).At("2024-04-02").Given(new ConfirmEntry(5, null, To(file.Entries[5])) { By = House });
        file.At("2024-04-03").Given(Withdraw(4));
        Assert.Contains((5L, "OpinionGiven"), Waiting(bat, file));
    }

    [Fact]
    public void A_confirmation_names_a_withdrawal_that_lies_under_the_entry()
    {
        var file = File().Given(Seen(3));
        var bat = Weighed(file.Entries[4]);
        file.At("2024-04-01").Given(Withdraw(6), Withdraw(3));
        bat.Citing(file.Entries[6]).Citing(file.Entries[7]);
        Assert.Equal("not-open-work", bat.Refused(new ConfirmEntry(5, null, To(file.Entries[6])) { By = House }));
        Assert.Equal("not-open-work", bat.Refused(new ConfirmEntry(2, null, To(file.Entries[7])) { By = House }));
        Assert.Equal("not-open-work", bat.Refused(new ConfirmEntry(5, null, To(file.Entries[2])) { By = House }));
        Assert.Equal("not-open-work", bat.Refused(new ConfirmEntry(5, null) { By = House }));
    }

    [Fact]
    public void A_bat_names_the_files_its_opinions_were_weighed_against() =>
        Assert.Equal([File().Entries[0].Envelope.Stream.ToString()], Weighed(File().Entries[4]).State.WeighedAgainst);
}
