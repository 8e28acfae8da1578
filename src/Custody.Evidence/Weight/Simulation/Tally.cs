namespace Custody.Evidence.Weight.Simulation;

/// <summary>Collects weights of simulated bats and whether intervals hold the truth.</summary>
sealed class Tally
{
    readonly Dictionary<Truth, List<double>> another = New(), prepared = New();
    readonly Dictionary<Truth, List<Wording>> wordsAnother = NewWords(), wordsPrepared = NewWords();
    int intervals, held, bats, batsHeld;

    internal void Add(Scene scene, PreparedFiles files, IReadOnlyList<SimulatedBat> some, Broken broken)
    {
        Combining combining = new(files.Spreads);
        var change = broken == Broken.PosedCountedAsPlay ? new Change(1, 1) : Change.None;
        // Ignoring dependence multiplies the same single numbers, so their intervals were judged already.
        if (broken != Broken.DependenceIgnored) JudgeIntervals(scene, files, combining, change);
        foreach (var found in some)
        {
            BatCase bat = new(files, found.Findings, found.Custody);
            foreach (var against in Enum.GetValues<WeighedAgainst>())
            {
                var pieces = broken == Broken.DependenceIgnored ? bat.AllCountable(against) : bat.Counted(against);
                var weight = combining.Of(pieces, change);
                var (weights, words) = against == WeighedAgainst.UsedByAnotherProfessional ? (another, wordsAnother) : (prepared, wordsPrepared);
                weights[found.Truth].Add(weight.Log10);
                words[found.Truth].Add(weight.Words(files.Scale));
                if (against == WeighedAgainst.UsedByAnotherProfessional && pieces.Count > 0)
                    Judge(weight, pieces.Sum(p => True(scene, p.Counts.Members, p.Value)), ref bats, ref batsHeld);
            }
        }
    }

    // All values of all files: also those that he never showed, and that nobody did.
    void JudgeIntervals(Scene scene, PreparedFiles files, Combining combining, Change change)
    {
        foreach (var characteristic in files.Order)
        {
            var counts = files.Tallies.Of(characteristic.Id);
            if (counts.Players == 0 || counts.Occasions == 0) continue;
            for (var value = 0; value < counts.Classes; value++)
                Judge(combining.Of([new Piece(counts, value, characteristic.Family)], change), True(scene, counts.Members, value), ref intervals, ref held);
        }
    }

    /// <summary>Log10 of his own rate over the league's: what complete knowledge of both would give, down to the lowest ratio told apart.</summary>
    static double True(Scene scene, IReadOnlyList<long> members, int value) =>
        Math.Max(Spread.Floor, Math.Log10(scene.Hitter.Rate(members, value) / scene.League.Frequency(members, value)));

    static void Judge(Sized weight, double truth, ref int judged, ref int held)
    {
        judged++;
        // An end that stands at the floor is laid out to within a cell of it.
        if (truth >= weight.Low - BetaGrid.Step && truth <= weight.High) held++;
    }

    internal SimulationFigures Figures()
    {
        var (his, others, false1) = (another[Truth.His], another[Truth.Another], prepared[Truth.Prepared]);
        return new SimulationFigures(
            Share(held, intervals), intervals, Share(batsHeld, bats),
            Text(Calibration.Cllr(his, others)), Text(Calibration.MinimumCllr(his, others)),
            Text(Calibration.Cllr(prepared[Truth.His], false1)), Text(Calibration.MinimumCllr(prepared[Truth.His], false1)),
            Share(wordsAnother[Truth.Another].Count(ForHim), others.Count), Share(wordsAnother[Truth.His].Count(w => w.For == Direction.Alternative), his.Count),
            Share(wordsPrepared[Truth.Prepared].Count(ForHim), false1.Count),
            Calibration.Plot(his, others), Calibration.Plot(prepared[Truth.His], false1));
    }

    static bool ForHim(Wording words) => words.For == Direction.Proposition && words.Word != "weak";

    static string Share(int part, int whole) => whole == 0 ? "0.000" : Text((double)part / whole);

    static string Text(double value) => DecimalText.Computed(value, 3).Text;

    static Dictionary<Truth, List<double>> New() => Enum.GetValues<Truth>().ToDictionary(t => t, _ => new List<double>());

    static Dictionary<Truth, List<Wording>> NewWords() => Enum.GetValues<Truth>().ToDictionary(t => t, _ => new List<Wording>());
}
