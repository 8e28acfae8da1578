namespace Custody.Evidence.Tests.Layers;

/// <summary>Rack colours of an invented league.</summary>
public class ContactsTests
{
    static readonly ListedPlace[] List =
    [
        new("Harbour 1951", Edtf.Parse("1951"), ["green"]),
        new("Harbour 1952", Edtf.Parse("1952"), ["red"]),
        new("Mill 1951", Edtf.Parse("1951"), ["red"]),
        new("Mill 1953", Edtf.Parse("1953"), ["green", "blue"]),
        new("Quarry 1950", Edtf.Parse("1950"), ["red"]),
    ];

    static LayerOrder Layers(params LaidOver[] seen) =>
        LayerOrders.TryFind(["r", "g", "b"], seen, out var order, out var refusal) ? order : throw new InvalidOperationException(refusal.Code);

    static LaidOver Over(string over, string under) => new(over, under, LayerConfidence.High, "microscope");

    static WhereaboutsFit Fit(LayerOrder order, DatedContact[] contacts, Dictionary<string, string>? proposed = null) =>
        Contacts.TryFit(order, contacts, List, proposed ?? [], out var fit, out var refusal) ? fit : throw new InvalidOperationException(refusal.Code);

    static readonly DatedContact[] RedAndGreen = [new("r", "red"), new("g", "green")];

    [Fact]
    public void Green_over_red_leaves_the_seasons_that_can_follow_one_another()
    {
        var fit = Fit(Layers(Over("g", "r")), RedAndGreen);
        // Green of 1951 can follow red of 1950 and of 1951; green of 1953 follows every red.
        Assert.Equal((5, true, true), (fit.Sequences, fit.IsComplete, fit.Unlisted));
        Assert.Equal(["Harbour 1952", "Mill 1951", "Quarry 1950"], fit.Contacts[0].Fitting);
        Assert.Equal(["Harbour 1951", "Mill 1953"], fit.Contacts[1].Fitting);
    }

    [Fact]
    public void How_many_others_of_the_list_fit_as_well_is_said()
    {
        var fit = Fit(Layers(Over("r", "g")), RedAndGreen, new() { ["g"] = "Harbour 1951", ["r"] = "Harbour 1952" });
        Assert.True(fit.ProposedFits);
        Assert.Equal([1, 0], fit.Contacts.OrderBy(c => c.Layer == "g").Select(c => c.Others)); // red could also be Mill's of 1951
        Assert.False(Fit(Layers(Over("r", "g")), RedAndGreen, new() { ["g"] = "Mill 1953", ["r"] = "Harbour 1952" }).ProposedFits);
    }

    [Fact]
    public void A_sign_that_nothing_in_the_list_left_is_left_to_an_unlisted_place()
    {
        var fit = Fit(Layers(Over("g", "r")), [new("r", "violet"), new("g", "green")]);
        Assert.Equal(2, fit.Sequences);
        Assert.Empty(fit.Contacts.Single(c => c.Sign == "violet").Candidates);
        Assert.True(Fit(Layers(Over("g", "r")), [new("r", "violet"), new("g", "green")], new() { ["g"] = "Mill 1953" }).ProposedFits);
    }

    [Fact]
    public void When_the_list_fits_in_no_way_an_unlisted_place_still_can()
    {
        var fit = Fit(Layers(Over("r", "b")), [new("r", "red"), new("b", "blue")]); // blue only in 1953, red never after
        Assert.Equal((0, true), (fit.Sequences, fit.Unlisted));
        Assert.All(fit.Contacts, c => Assert.Empty(c.Fitting));
    }

    [Fact]
    public void A_contact_follows_every_contact_under_it()
    {
        ListedPlace[] list = [new("red 1950", Edtf.Parse("1950"), ["red"]), new("green 1952", Edtf.Parse("1952"), ["green"]),
            new("blue 1951", Edtf.Parse("1951"), ["blue"]), new("blue 1952", Edtf.Parse("1952-09"), ["blue"])];
        Assert.True(Contacts.TryFit(Layers(Over("g", "r"), Over("b", "g")), [.. RedAndGreen, new("b", "blue")], list, new Dictionary<string, string>(), out var fit, out _));
        Assert.Equal(1, fit.Sequences); // blue of 1951 came after red, but not after green
        Assert.Equal(["blue 1952"], fit.Contacts[2].Fitting);
    }

    [Fact]
    public void Without_an_order_between_them_every_pair_fits() => Assert.Equal(6, Fit(Layers(), RedAndGreen).Sequences);

    [Fact]
    public void Counting_stops_at_a_stated_number()
    {
        var list = Enumerable.Range(0, 200).Select(i => new ListedPlace($"club {i}", Edtf.Parse("1951"), ["red", "green"])).ToArray();
        Assert.True(Contacts.TryFit(Layers(), RedAndGreen, list, new Dictionary<string, string>(), out var fit, out _));
        Assert.Equal((Contacts.MostSequences, false), (fit.Sequences, fit.IsComplete));
    }

    [Fact]
    public void Bad_input_is_refused_by_name()
    {
        Assert.Equal("contact-unknown", Refused([new("x", "red")], List, []));
        Assert.Equal("contact-unknown", Refused([new("r", "red"), new("r", "green")], List, []));
        Assert.Equal("place-twice", Refused(RedAndGreen, [.. List, List[0]], []));
        Assert.Equal("place-not-listed", Refused(RedAndGreen, List, new() { ["r"] = "Harbour 1951" }));
        Assert.Equal("place-not-listed", Refused(RedAndGreen, List, new() { ["b"] = "Mill 1953" }));
    }

    static string? Refused(DatedContact[] contacts, ListedPlace[] list, Dictionary<string, string> proposed) =>
        Contacts.TryFit(Layers(), contacts, list, proposed, out _, out var refusal) ? null : refusal.Code;
}
