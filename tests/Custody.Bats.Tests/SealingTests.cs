using static Custody.Bats.Tests.Cast;

namespace Custody.Bats.Tests;

public class SealingTests
{
    static readonly ApplySeal Apply = new(SealOn.Tube, "0451", null, null) { By = House };

    static BreakSeal Break(long seal) => new(seal, SealBreak.FoundBroken, null, null) { By = Stranger };

    [Fact]
    public void The_custodian_seals_and_whoever_sees_it_records_a_break()
    {
        var story = ABat().Given(Apply);
        Assert.Equal([2], story.State.Seals.Whole);
        story.Given(Break(2));
        Assert.Empty(story.State.Seals.Whole);
        Assert.Equal(3, story.State.Seals.ByEntry[2].BrokenBy);
    }

    [Fact]
    public void Nobody_else_seals()
    {
        Assert.Equal("not-custodian", ABat().Refused(Apply with { By = Owner }));
        Assert.Equal("not-custodian", ABat().Given(Release(House, Owner)).Refused(Apply));
    }

    [Fact]
    public void A_seal_breaks_once()
    {
        Assert.Equal("no-such-seal", ABat().Refused(Break(1)));
        Assert.Equal("seal-broken", ABat().Given(Apply, Break(2)).Refused(Break(2)));
    }
}
