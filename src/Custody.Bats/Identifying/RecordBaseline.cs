using Custody.Evidence;

namespace Custody.Bats;

/// <summary>The views that tell one bat from another. Where no brand can be seen, that view shows the datum mark.</summary>
public enum FixedView
{
    Knob,
    BarrelEnd,
    Brand,
    Grain,
}

/// <summary>A fixed view as photographed; the released copy's hash.</summary>
public sealed record ViewPictured(FixedView View, PictureHash Picture) : IPart;

/// <summary>Girth at a position along the axis, counted from the outer face of the knob.</summary>
public sealed record GirthAt(Quantity Position, Quantity Girth) : IPart;

/// <summary>Record what this very bat looks like and measures, so that a swap shows later.</summary>
/// <param name="Views">At least one picture of each fixed view.</param>
/// <param name="Girths">At least one.</param>
/// <param name="Moisture">Moisture of the wood, when it was measured: weights move with it.</param>
/// <param name="Note">Withheld, such as how it was measured.</param>
public sealed record RecordBaseline(
    IReadOnlyList<ViewPictured> Views, Quantity Length, Quantity Weight, IReadOnlyList<GirthAt> Girths, Quantity? Moisture,
    string? Note) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
        [new BaselineRecorded(Views, Length, Weight, Girths, Moisture, Note)];
}

/// <summary>A baseline. Later ones stand beside it: a check says against which it was made.</summary>
public sealed record BaselineRecorded(
    IReadOnlyList<ViewPictured> Views, Quantity Length, Quantity Weight, IReadOnlyList<GirthAt> Girths, Quantity? Moisture,
    Withheld<string>? Note) : BatFact
{
    // What was locked, given or measured is revised or withdrawn by its own act; only what was typed beside it can be a slip of the pen.
    public override bool DecidesBy(string member) => true;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        foreach (var view in Enum.GetValues<FixedView>().Except(Views.Select(v => v.View)))
            yield return new("view-missing", $"The fixed view {view} has no picture.",
                "Photograph the knob, the barrel end, the brand and the grain.");
        if (Girths.Count == 0)
            yield return new("girth-missing", "A baseline has at least one girth.", "Measure the girth at a stated position.");
        foreach (var refusal in Measured.Refuse(Length, Weight)) yield return refusal;
        foreach (var refusal in Girths.SelectMany(g => Measured.Is(g.Girth, Dimension.Length, "girth"))) yield return refusal;
        if (Girths.Any(g => !Along(g.Position)))
            yield return new("position-off-bat", "A girth stands at a position that is not on the bat.",
                "Count positions from the knob, up to the length.");
    }

    bool Along(Quantity position) =>
        position.Unit.Dimension == Dimension.Length && position.Value.Sign >= 0
        && (Length.Unit.Dimension != Dimension.Length || position.CompareWith(Length) <= 0);

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Identity = bat.Identity with
        {
            Baselines = bat.Identity.Baselines.Add(entry.N, new Baseline(entry.Envelope.By, entry.Envelope.Recorded)),
        },
    };
}
