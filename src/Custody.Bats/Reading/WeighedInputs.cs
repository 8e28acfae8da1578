using Custody.Evidence;
using Custody.Evidence.Weight;

namespace Custody.Bats;

/// <summary>States a weighing as the inputs of an opinion: each characteristic with the one finding it is read from.</summary>
static class WeighedInputs
{
    static readonly Unit One = Unit.Find("1")!;

    public static WeightInputs Of(Reading reading, BatWeighed weighed, IReadOnlyList<Entry> habits, WeighingChoices choices)
    {
        var examined = ExaminationRead.All(reading).First(e => e.Entry == weighed.Examination);
        var defined = habits.Where(e => e.Fact is CharacteristicDefined).ToDictionary(e => e.N, e => ((CharacteristicDefined)e.Fact).Characteristic);
        var order = habits.Select(e => e.Fact).OfType<CountsVersioned>().Last().Order;
        return new WeightInputs(
            [.. order.Select(id => Read(id, defined[id], examined, weighed, defined.Values.Count(d => d.Kind == defined[id].Kind) == 1)).OfType<TraitRead>()],
            weighed.OwnLeftOut, weighed.OthersLeftOut, CustodyDocumented.From(reading), choices.Basis == ObservedIn.SurvivingBat ? Pool.SurvivingBats : Pool.InPlay,
            choices.LikenessDefault is { } likeness ? Quantity.Of(likeness, One) : null,
            [.. (choices.LossFactors ?? new Dictionary<long, DecimalText>()).OrderBy(l => l.Key).Select(l => new LossFactor(l.Key, Quantity.Of(l.Value, One)))], choices.Spent ?? []);
    }

    // The same reading as the weighing makes: what was said first, otherwise what the findings' words tell.
    static TraitRead? Read(long id, Characteristic characteristic, ExaminationRead examined, BatWeighed weighed, bool onlyOne)
    {
        List<FindingRead> of = [.. examined.Findings.Where(f => f.Kind == characteristic.Kind)];
        if (weighed.Readings.FirstOrDefault(r => r.Characteristic == id) is { } said)
            return Trait(said.Value == 0 ? Presence.Absent : Presence.Seen, said.Value);
        if (of.Count == 0) return null;
        if (of.All(f => f.Presence == Presence.NotAssessable)) return Trait(Presence.NotAssessable, 0);
        if (of.All(f => f.Presence != Presence.Seen)) return Trait(Presence.Absent, 0);
        return onlyOne && characteristic.Values == 1 ? Trait(Presence.Seen, 1) : null;

        TraitRead? Trait(Presence presence, int value) => of.FirstOrDefault(f => f.Presence == presence) is { } finding
            ? new TraitRead(
                id, presence switch { Presence.Seen => Observed.Seen, Presence.Absent => Observed.Absent, _ => Observed.CouldNotBeSeen }, value == 0 ? null : value,
                examined.Entry, finding.Number)
            : null;
    }
}
