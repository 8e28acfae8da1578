using Custody.Bats;

namespace Custody.Ledger.Tests;

public sealed class HolderChallengeTests : IDisposable
{
    const string Code = "0123456789ABCDEFGHJKMNPQR8", Words = "Pat, at the kitchen table, Tuesday";
    static readonly DateTimeOffset Asked = new(2031, 4, 2, 9, 0, 0, TimeSpan.Zero);
    static readonly Alias Holder = new(1), House = new(2);
    readonly TestLedger ledger = new();
    readonly TestStream<Bat> bat;
    readonly HolderChallenge challenge;

    public HolderChallengeTests()
    {
        // Presenter and owner is p1, the house that keeps the bat p2.
        bat = ledger.Bat().Do(TestDossier.Registration(TestDossier.House, TestDossier.House));
        challenge = HolderChallenge.Ask(Code, bat.Name, Words, Asked);
    }

    public void Dispose() => ledger.Dispose();

    static string? Refused(HolderChallenge? asked, Bat about, Alias? who, TimeSpan after, string words = Words, string code = Code) =>
        HolderChallenge.Refuse(asked, code, words, about, who, Asked + after)?.Code;

    [Fact]
    public void The_holder_of_title_answers_once_in_time() => Assert.Null(Refused(challenge, bat.State, Holder, TimeSpan.FromMinutes(59)));

    [Fact]
    public void A_second_answer_a_late_one_and_one_to_nothing_are_refused_by_name()
    {
        Assert.Equal("challenge-answered", Refused(challenge with { Answered = Asked }, bat.State, Holder, TimeSpan.FromMinutes(1)));
        Assert.Equal("challenge-expired", Refused(challenge, bat.State, Holder, TimeSpan.FromHours(1)));
        Assert.Equal("challenge-expired", Refused(challenge, bat.State, Holder, TimeSpan.FromSeconds(-1)));
        Assert.Equal("challenge-unknown", Refused(null, bat.State, Holder, TimeSpan.FromMinutes(1)));
    }

    [Fact]
    public void An_answer_for_another_bat_with_other_words_or_by_somebody_else_is_refused_by_name()
    {
        var other = ledger.Bat('C').Do(TestDossier.Registration(TestDossier.House, TestDossier.House) with { ShortNumber = "2031-0008-X" });
        Assert.Equal("challenge-other-bat", Refused(challenge, other.State, Holder, TimeSpan.FromMinutes(1)));
        Assert.Equal("challenge-other-words", Refused(challenge, bat.State, Holder, TimeSpan.FromMinutes(1), "Pat, at the kitchen table, Monday"));
        Assert.Equal("challenge-other-words", Refused(challenge, bat.State, Holder, TimeSpan.FromMinutes(1), code: "0123456789ABCDEFGHJKMNPQR0"));
        Assert.Equal("challenge-not-holder", Refused(challenge, bat.State, House, TimeSpan.FromMinutes(1)));
        Assert.Equal("challenge-not-holder", Refused(challenge, bat.State, null, TimeSpan.FromMinutes(1)));
    }

    [Fact]
    public void Who_held_title_when_it_was_asked_and_does_not_any_more_cannot_answer()
    {
        var sold = bat.State with { Title = bat.State.Title with { Shares = bat.State.Title.Shares.Remove(Holder) } };
        Assert.Equal("challenge-not-holder", Refused(challenge, sold, Holder, TimeSpan.FromMinutes(1)));
    }

    [Fact]
    public void A_bat_whose_record_does_not_go_on_here_has_nobody_who_answers()
    {
        var elsewhere = bat.State with { Registration = bat.State.Registration! with { Voided = true } };
        Assert.Equal("challenge-not-here", Refused(challenge, elsewhere, Holder, TimeSpan.FromMinutes(1)));
    }

    [Theory]
    [InlineData("pat,  at the KITCHEN table,\ttuesday ")]
    [InlineData(Words)]
    public void Words_told_by_telephone_fit_whatever_their_case_and_spaces(string heard) =>
        Assert.Null(Refused(challenge, bat.State, Holder, TimeSpan.FromMinutes(1), heard));

    [Theory]
    [InlineData("")]
    [InlineData("   ")]
    public void A_challenge_needs_words(string words) => Assert.Equal("challenge-words", HolderChallenge.RefuseWords(words)!.Code);

    [Fact]
    public void What_is_kept_tells_neither_code_nor_words()
    {
        var kept = System.Text.Encoding.Latin1.GetString([.. challenge.Code, .. challenge.Words]);
        Assert.DoesNotContain(Code, kept, StringComparison.Ordinal);
        // The same words under another code give another digest: without the code nobody can try words out.
        Assert.NotEqual(challenge.Words, HolderChallenge.Ask("0123456789ABCDEFGHJKMNPQR0", bat.Name, Words, Asked).Words);
    }

    [Fact]
    public void It_says_what_it_proves_and_nothing_more()
    {
        Assert.StartsWith("Not answered yet.", challenge.Said("ledger.example", "7", Asked), StringComparison.Ordinal);
        Assert.StartsWith("Nobody answered", challenge.Said("ledger.example", "7", Asked.AddHours(1)), StringComparison.Ordinal);
        Assert.Equal(
            "Answered. This proves who answers for the account of a holder of title to bat 7, as asserted, at ledger.example at 2031-04-02 09:05:00 UTC. "
            + "It proves nothing more: not who stands in front of you, not that the bat is there, not that the title is good.",
            (challenge with { Answered = Asked.AddMinutes(5) }).Said("ledger.example", "7", Asked.AddDays(9)));
    }
}
