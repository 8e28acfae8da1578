using static Custody.Bats.Tests.Trade;

namespace Custody.Bats.Tests;

public class DisclosingTests
{
    static readonly Story<Bat> TheBat = new Story<Bat>().Given(Registered());

    static IssueDossier Issued() => new(TheBat.Entries[0].Reference, 40, new string('A', 43), 3, 2, null, "a buyer") { By = Owner };

    static Story<DossierState> Story() => new Story<DossierState>("dossier").Citing(TheBat.Entries[0]);

    [Fact]
    public void A_dossier_cites_the_bats_head_and_a_checkpoint_on_a_stream_of_its_own()
    {
        var story = Story().Given(Issued());
        Assert.Equal(TheBat.Entries[0].Reference, story.State.TellsUpTo);
        Assert.Equal(1, TheBat.State.N);
    }

    [Fact]
    public void A_dossier_is_issued_once() => Assert.Equal("dossier-issued", Story().Given(Issued()).Refused(Issued()));

    [Fact]
    public void A_dossier_names_an_entry_of_a_bat_and_a_checkpoint()
    {
        Assert.Equal("no-such-entry", new Story<DossierState>("dossier").Refused(Issued()));
        Assert.Equal("no-such-entry", Story().Citing(Sale()).Refused(Issued() with { Head = Sale().Reference }));
        Assert.Equal("no-such-checkpoint", Story().Refused(Issued() with { TreeSize = 0 }));
        Assert.Equal("no-such-checkpoint", Story().Refused(Issued() with { TreeRoot = "root" }));
        Assert.Equal("count-negative", Story().Refused(Issued() with { Shown = -1 }));
    }
}
