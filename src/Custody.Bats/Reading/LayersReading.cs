using Custody.Evidence;

namespace Custody.Bats;

/// <summary>A layer by its finding.</summary>
/// <param name="Key">f and the finding's number.</param>
public sealed record LayerNamed(string Key, FindingKind Kind, SurfacePlace? Place, string? Text);

/// <summary>A place of a list as it is named here.</summary>
/// <param name="Name">Null when not shown.</param>
public sealed record PlaceNamed(string Key, Edtf When, string? Name);

/// <summary>A list of where the bat could have been, set against the layers.</summary>
/// <param name="Entry">The <c>WhereaboutsListed</c>.</param>
/// <param name="Signs">What each sign looks like, by its key; null when not shown.</param>
/// <param name="Refused">Why nothing could be computed.</param>
public sealed record WhereaboutsRead(
    long Entry, IReadOnlyList<PlaceNamed> Places, IReadOnlyDictionary<string, string?> Signs, WhereaboutsFit? Fit, Refusal? Refused);

/// <summary>The layers of one examination.</summary>
/// <param name="Order">Null when refused.</param>
/// <param name="Refused">Why there is no order, such as a circle.</param>
public sealed record LayersOfExamination(
    long Examination, Who Examiner, IReadOnlyList<LayerNamed> Layers, LayerOrder? Order, Refusal? Refused, IReadOnlyList<WhereaboutsRead> Whereabouts);

/// <summary>What lies over what on a bat, examination by examination.</summary>
public sealed record BatLayers(IReadOnlyList<LayersOfExamination> Examinations, IReadOnlyList<string> Cautions)
{
    internal static BatLayers Read(Reading reading) => new(
        [.. ExaminationRead.All(reading).Select(e => Of(reading, e)).Where(e => e.Layers.Count > 0)],
        [
            "What lies over something came after it, if the overlap was seen rightly: tar creeps, ink bleeds, and worn layers mislead.",
            "A list of where a bat could have been is never complete: a place that is not in it is always possible.",
            "A sequence that fits ties the bat to no place by itself; how many others of the list fit as well is said beside it.",
        ]);

    static LayersOfExamination Of(Reading reading, ExaminationRead examination)
    {
        var lists = reading.Standing<WhereaboutsListed>()
            .Where(l => l.Fact.Examination == examination.Entry && Datings.Counts(reading.State, reading.State.Datings.Lists, l.At.N)).ToList();
        var named = examination.Layers.SelectMany(l => new[] { l.Over, l.Under }).Concat(lists.SelectMany(l => l.Fact.Contacts.Select(c => c.Finding)))
            .ToHashSet();
        List<FindingRead> layers = [.. examination.Findings.Where(f => named.Contains(f.Number))];
        EvidenceRefusal? refused = null;
        LayerOrder? order = null;
        if (layers.Count > 0 && !LayerOrders.TryFind([.. layers.Select(f => f.Key)], [.. examination.Layers.Select(Laid)], out order, out refused)) order = null;
        return new LayersOfExamination(
            examination.Entry, examination.Examiner, [.. layers.Select(f => new LayerNamed(f.Key, f.Kind, f.Place, f.Text))], order, Said(refused),
            order is null ? [] : [.. lists.Select(l => Fit(l.At.N, l.Fact, order))]);
    }

    static LaidOver Laid(LayerSeen seen) => new(
        Numbered.Key('f', seen.Over), Numbered.Key('f', seen.Under),
        seen.Confidence switch { Confidence.Low => LayerConfidence.Low, Confidence.Moderate => LayerConfidence.Moderate, _ => LayerConfidence.High },
        System.Text.Json.JsonNamingPolicy.CamelCase.ConvertName(seen.SeenBy.ToString()),
        seen.Overlap is { } place ? string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{place.From} to {place.To ?? place.From}") : null);

    static WhereaboutsRead Fit(long n, WhereaboutsListed list, LayerOrder order)
    {
        // A finding taken back since is no layer any more.
        List<ContactSeen> contacts = [.. list.Contacts.Where(c => order.Layers.Contains(Numbered.Key('f', c.Finding)))];
        var fitted = Contacts.TryFit(
            order, [.. contacts.Select(c => new DatedContact(Numbered.Key('f', c.Finding), Numbered.Key('s', c.Sign)))],
            [.. list.Places.Select(p => new ListedPlace(p.Key, p.Value.When, [.. p.Value.Leaves.Select(s => Numbered.Key('s', s))]))],
            contacts.Where(c => c.Proposed is not null).ToDictionary(c => Numbered.Key('f', c.Finding), c => Numbered.Key('w', c.Proposed!.Value)),
            out var fit, out var refused);
        return new WhereaboutsRead(
            n, [.. list.Places.Select(p => new PlaceNamed(p.Key, p.Value.When, p.Value.Name?.Value))],
            list.Signs.ToDictionary(s => s.Key, s => s.Value.Name?.Value), fitted ? fit : null, Said(refused));
    }

    static Refusal? Said(EvidenceRefusal? refused) => refused is null ? null : new(refused.Code, refused.Sentence, refused.Remedy);
}
