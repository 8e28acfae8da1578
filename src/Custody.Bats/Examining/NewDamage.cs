using Custody.Evidence;

namespace Custody.Bats;

/// <summary>Damage that one examination found and the one before it had not, or found smaller.</summary>
/// <param name="Earlier">Entry of the earlier examination.</param>
/// <param name="Later">Entry of the later one.</param>
/// <param name="Finding">Number of the finding in the later one.</param>
/// <param name="Certainty">Certain when the earlier one looked for it there, or found it smaller; possible when it does not mention it.</param>
/// <param name="Handovers">Releases recorded between the two.</param>
public sealed record DamageFound(
    long Earlier, long Later, int Finding, FindingKind Kind, ChangeKind Change, Certainty Certainty, IReadOnlyList<long> Handovers);

/// <summary>
/// New damage between two examinations of the bat in hand. It waits until somebody reports an incident or a treatment after the earlier one; an incident
/// of extent "none" says that it was there before and had been overlooked.
/// </summary>
static class NewDamage
{
    static readonly FindingKind[] Kinds = [FindingKind.HandleCrack, FindingKind.Chip, FindingKind.Checking, FindingKind.FlattenedBarrel, FindingKind.CleatMark];

    public static bool Is(FindingKind kind) => Kinds.Contains(kind);

    public static IEnumerable<DamageFound> In(Bat bat)
    {
        var examined = bat.Examinations.ByEntry
            .Where(e => e.Value.From == ExaminedFrom.BatInHand && !bat.Corrections.IsVoid(e.Key) && bat.Corrections.Stands(e.Value.Locked))
            .OrderBy(e => e.Value.Locked).ToList();
        return examined.Zip(examined.Skip(1)).Where(step => !Explained(bat, step.First.Value.Locked!.Value))
            .SelectMany(step => Between(bat, step.First, step.Second));
    }

    static bool Explained(Bat bat, long since) =>
        bat.Incidents.ByEntry.Keys.Concat(bat.Treatments.ByEntry.Keys).Any(n => n > since && !bat.Corrections.IsVoid(n));

    static IEnumerable<DamageFound> Between(Bat bat, KeyValuePair<long, Examination> earlier, KeyValuePair<long, Examination> later)
    {
        // An examination that contradicts itself cannot be compared; the reading of the bat's condition says so.
        if (!Condition.TryCompare(Placed(earlier.Value), Placed(later.Value), SpotTolerance.Usual, out var difference, out _)) yield break;
        foreach (var change in difference.Worse)
        {
            var finding = Numbered.NumberOf('f', change.Later!)!.Value;
            yield return new DamageFound(
                earlier.Key, later.Key, finding, later.Value.Damage[finding].Kind, change.Change, change.Certainty,
                [.. bat.Keeping.Handovers.Keys.Where(n => n > earlier.Value.Locked && n < later.Value.Locked)]);
        }
    }

    static List<PlacedFinding> Placed(Examination examination) =>
        [.. examination.Damage.Select(d => PlacedFindings.Of(d.Key, d.Value.Kind, d.Value.Presence, d.Value.Place, d.Value.Measure))];
}

/// <summary>Findings as condition is computed from them.</summary>
static class PlacedFindings
{
    public static PlacedFinding Of(int number, FindingKind kind, Presence presence, SurfacePlace? place, Quantity? measure) => new(
        Numbered.Key('f', number), System.Text.Json.JsonNamingPolicy.CamelCase.ConvertName(kind.ToString()),
        presence switch { Presence.Seen => FindingState.Seen, Presence.Absent => FindingState.Absent, _ => FindingState.NotAssessable }, place?.Spot(), measure);
}
