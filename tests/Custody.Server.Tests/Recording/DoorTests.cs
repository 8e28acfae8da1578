using Custody.Bats;
using Custody.Server.Recording;

namespace Custody.Server.Tests.Recording;

public class DoorTests
{
    static readonly PartyId Somebody = new(LedgerForTests.Fresh("party"));

    static IEnumerable<string> Codes(Command command) => Door.Unfit(command).Select(r => r.Code);

    static ReviseFindings Revised(string reason) => new(2, RevisionCause.SecondLook, [], null, null, reason) { By = Somebody };

    [Theory]
    [InlineData(""), InlineData(" "), InlineData("\t\r\n"), InlineData("\u3000\u2800")]
    public void A_reason_that_shows_nothing_is_no_reason(string blank) => Assert.Equal(["text-blank"], Codes(Revised(blank)));

    [Fact]
    public void A_blank_text_is_refused_where_it_may_be_left_out_and_inside_parts_too()
    {
        Assert.Equal(["text-blank"], Codes(new WithdrawSource(2, SourceWithdrawalGround.AnotherPerson, " ") { By = Somebody }));
        Assert.Equal(["text-blank"], Codes(new LockFindings(2, [new(FindingKind.Tape, Presence.Seen, Confidence.High, SeenBy.Eye, Text: "\u00A0")], [], [], null) { By = Somebody }));
        Assert.Equal(["text-blank"], Codes(new DefineCharacteristic(new(FindingKind.Tape, 2, Possible.Yes, Possible.Yes, null), null, "tape", ["rings", ""]) { By = Somebody }));
    }

    [Fact]
    public void A_text_left_out_or_one_that_says_something_passes()
    {
        Assert.Empty(Codes(Revised("glue only")));
        Assert.Empty(Codes(new WithdrawSource(2, SourceWithdrawalGround.AnotherPerson, null) { By = Somebody }));
    }
}
