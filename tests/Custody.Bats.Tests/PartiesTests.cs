using static Custody.Bats.Tests.Cast;

namespace Custody.Bats.Tests;

public class PartiesTests
{
    static readonly RecordParty Record = new(PartyKind.Person, "Someone Invented", ["Somebody"], "a place", null, null) { By = House };

    static readonly RenameParty Rename = new(PartyChange.NewName, "Someone Else", null, null, null) { By = House };

    static readonly RequestErasure Ask = new(ErasureGround.AskedByTheParty, "a letter", null) { By = House };

    static readonly EraseParty Erase = new([Retained.TaxRecords], null) { By = House };

    static RestrictParty Restrict(params PresentRole[] roles) => new(roles, null) { By = House };

    static Story<PartyState> AParty() => new Story<PartyState>("party").Given(Record);

    [Fact]
    public void A_party_is_recorded_once_and_renamed_later()
    {
        Assert.Equal(PartyKind.Person, AParty().Given(Rename).State.Kind);
        Assert.Equal("already-recorded", AParty().Refused(Record));
        Assert.Equal("party-not-recorded", new Story<PartyState>("party").Refused(Rename));
    }

    [Fact]
    public void The_name_is_withheld_and_not_in_the_state() =>
        Assert.DoesNotContain("Invented", System.Text.Json.JsonSerializer.Serialize(AParty().State, JsonText.Options),
            StringComparison.Ordinal);

    [Fact]
    public void Erasing_answers_a_request_and_ends_the_stream()
    {
        Assert.Equal("erasure-not-asked", AParty().Refused(Erase));
        var story = AParty().Given(Ask, Erase);
        Assert.Equal(ErasureStanding.Erased, story.State.Erasure);
        Assert.Equal("party-erased", story.Refused(Rename));
        Assert.Equal("party-erased", story.Refused(Ask));
    }

    [Fact]
    public void One_who_still_has_a_role_is_restricted_until_it_ends_and_then_erased_on_the_same_request()
    {
        Assert.Equal("erasure-not-asked", AParty().Refused(Restrict(PresentRole.TitleHolder)));
        var story = AParty().Given(Ask);
        Assert.Equal("no-role", story.Refused(Restrict()));
        story.Given(Restrict(PresentRole.TitleHolder));
        Assert.Equal("erasure-asked", story.Refused(Ask));
        Assert.Equal(2, story.Given(Erase).State.ErasureRequest);
    }
}
