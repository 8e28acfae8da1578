namespace Custody.Evidence.Weight.Simulation;

/// <summary>What is broken on purpose in a run.</summary>
enum Broken
{
    Nothing,
    DependenceIgnored,
    PosedCountedAsPlay,
    WrongSources,
}

/// <summary>Simulates bats whose truth is known and says how good the numbers are.</summary>
public static class Simulator
{
    /// <summary>Share of sources that show somebody else's bat in the run that breaks that assumption.</summary>
    public const double WrongShare = 0.2;

    /// <summary>Weighs so many bats of a league on the demo's own assumptions, and again with assumptions broken on purpose.</summary>
    /// <param name="bats">How many, 40 or more; every file has 40.</param>
    /// <param name="numbers">Seeded: the same seed gives the same figures.</param>
    public static SimulationResult Run(int bats, SeededNumbers numbers)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(bats, Scene.BatsOfAFile);
        var runs = Enum.GetValues<Broken>().ToDictionary(b => b, _ => new Tally());
        List<SimulatedBat> all = [];
        for (var left = bats; left > 0; left -= Scene.BatsOfAFile)
        {
            Scene scene = new(numbers.Branch());
            IReadOnlyList<SimulatedBat> some = [.. scene.Bats.Take(left)];
            all.AddRange(some);
            var files = Prepared(scene, scene.Habits);
            foreach (var broken in new[] { Broken.Nothing, Broken.DependenceIgnored, Broken.PosedCountedAsPlay }) runs[broken].Add(scene, files, some, broken);
            runs[Broken.WrongSources].Add(scene, Prepared(scene, scene.WithWrongSources(WrongShare)), some, Broken.WrongSources);
        }
        return new SimulationResult(
            Weigher.Method, Weigher.MethodVersion, bats, runs[Broken.Nothing].Figures(), runs[Broken.DependenceIgnored].Figures(), runs[Broken.PosedCountedAsPlay].Figures(),
            runs[Broken.WrongSources].Figures(), [.. Enumerable.Range(0, Scene.Examiners).Select(e => LookAgreement.Of(Looks(all, e)))]);
    }

    static PreparedFiles Prepared(Scene scene, IReadOnlyList<HabitSource> habits) =>
        PreparedFiles.TryPrepare(League.Order, habits, scene.Comparison, new WeighingChoices(), out var files, out var refusal)
            ? files : throw new InvalidOperationException(refusal.Code);

    /// <summary>Two blind looks of one examiner at one bat, finding by finding: what was found, or that it could not be judged.</summary>
    static List<(int, int)> Looks(IEnumerable<SimulatedBat> bats, int examiner) =>
        [.. bats.Where(b => b.Examiner == examiner).SelectMany(b => b.Findings.Zip(b.Again)).Select(l => (Word(l.First), Word(l.Second)))];

    static int Word(BatFinding finding) => finding.State == FoundState.NotAssessable ? -1 : finding.Value;
}

/// <summary>How good the numbers of one run are.</summary>
/// <param name="Coverage90">Share of 90 % intervals that hold the true ratio, over all files, characteristics and values, also those never seen.</param>
/// <param name="Intervals">How many those are. Characteristics without any occasion claim no interval and are not among them.</param>
/// <param name="Coverage90Bats">The same over whole bats, for the values found.</param>
/// <param name="Cllr">Against another professional's use.</param>
/// <param name="PreparedCllr">Against later preparation.</param>
/// <param name="MisleadingForHim">Share of other professionals' bats whose words are moderate support or more for him.</param>
/// <param name="MisleadingAgainstHim">Share of his bats whose words support the alternative at all.</param>
/// <param name="PreparedMisleading">Share of prepared bats whose words are moderate support or more against later preparation.</param>
public sealed record SimulationFigures(
    string Coverage90, int Intervals, string Coverage90Bats, string Cllr, string CllrMin, string PreparedCllr, string PreparedCllrMin, string MisleadingForHim,
    string MisleadingAgainstHim, string PreparedMisleading, IReadOnlyList<CalibrationBin> Calibration, IReadOnlyList<CalibrationBin> PreparedCalibration);

/// <summary>A run on the demo's own assumptions, three with one of them broken on purpose, and each examiner's agreement with himself.</summary>
public sealed record SimulationResult(
    string Method, int MethodVersion, int Bats, SimulationFigures AsAssumed, SimulationFigures DependenceIgnored, SimulationFigures PosedCountedAsPlay,
    SimulationFigures WrongSources, IReadOnlyList<LookAgreement> Examiners);
