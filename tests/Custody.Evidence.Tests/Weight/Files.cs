using Custody.Evidence.Weight;

namespace Custody.Evidence.Tests.Weight;

/// <summary>Small invented files. Characteristics 1 and 2 are of the handle, 3 of the markings, 4 of the make.</summary>
static class Files
{
    internal static readonly HabitCharacteristic Tape = new(1, "handle", 3, Known.Yes, Known.Yes, Edtf.Parse("1972"));
    internal static readonly HabitCharacteristic Tar = new(2, "handle", 2, Known.Yes, Known.Yes, Edtf.Parse("1972"));
    internal static readonly HabitCharacteristic Number = new(3, "markings", 3, Known.Yes, Known.Yes);
    internal static readonly HabitCharacteristic Knob = new(4, "make", 2, Known.No, Known.No);

    internal static readonly HabitCharacteristic[] Order = [Tape, Tar, Number, Knob];

    /// <summary>Twenty-four players, two occasions each, alike to themselves: every fourth does as the player in question.</summary>
    internal static IReadOnlyList<HabitSource> Comparison { get; } =
    [
        .. Enumerable.Range(1, 24).SelectMany(player => Enumerable.Range(0, 2).Select(i => Source(
            player * 10 + i, player % 4 == 0 ? 1 : i % 2 * (player % 3), player % 4 == 0 ? 2 : 1, player % 4 == 0 ? 3 : player % 2, 1 + player % 2) with { Player = player })),
    ];

    /// <summary>His: so many occasions on which he did as usual (tape 1, tar 2, number 3, knob 1).</summary>
    internal static IReadOnlyList<HabitSource> His(int occasions) => [.. Enumerable.Range(1, occasions).Select(i => Source(i, 1, 2, 3, 1))];

    internal static HabitSource Source(long id, int tape, int tar, int number, int knob) => new(
        id, ObservedIn.Play, 0, null, null, null, new Dictionary<long, int> { [1] = tape, [2] = tar, [3] = number, [4] = knob });

    internal static HabitSource Only(long id, long characteristic, int value) =>
        new(id, ObservedIn.Play, 0, null, null, null, new Dictionary<long, int> { [characteristic] = value });

    /// <summary>A bat like his in everything.</summary>
    internal static readonly BatFinding[] Like =
        [new(1, FoundState.Seen, 1), new(2, FoundState.Seen, 2), new(3, FoundState.Seen, 3), new(4, FoundState.Seen, 1)];

    internal static WeighingInput Input(IReadOnlyList<HabitSource> his, IReadOnlyList<BatFinding>? findings = null) =>
        new(Order, his, Comparison, findings ?? Like, WeighingInput.UsualPairs, ProposedBy.Consignor);

    internal static WeighingResult Weigh(WeighingInput input, WeighingChoices? choices = null) =>
        Weigher.TryWeigh(input, choices ?? new WeighingChoices(), out var result, out var refusal) ? result : throw new InvalidOperationException(refusal.Code);

    internal static string Refused(WeighingInput input, WeighingChoices? choices = null) =>
        Weigher.TryWeigh(input, choices ?? new WeighingChoices(), out _, out var refusal) ? "" : refusal.Code;

    internal static PairWeight Another(this WeighingResult result) => result.Pairs.Single(p => p.Pair.Against == WeighedAgainst.UsedByAnotherProfessional);

    internal static PairWeight Prepared(this WeighingResult result) => result.Pairs.Single(p => p.Pair.Against == WeighedAgainst.PreparedLater);

    internal static double Log(this PairWeight pair) => DecimalText.Parse(pair.Weight.Log10).ToDouble();
}
