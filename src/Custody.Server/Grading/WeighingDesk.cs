using Custody.Bats;
using Custody.Evidence;
using Custody.Evidence.Weight;
using Custody.Server.Readings;
using Custody.Server.Recording;

namespace Custody.Server.Grading;

/// <summary>What is asked of a weighing, as it comes in from the command line or the web: every value still a text or a number.</summary>
/// <param name="Habits">Stream of the habit file; null for the one that the bat's entries last cite.</param>
/// <param name="Comparison">Stream of the comparison file; null for the one that the habit file's characteristics are set beside.</param>
/// <param name="HabitsVersion">Version of its counts; null for the newest.</param>
/// <param name="Read">Values read of findings: characteristic:value, separated by commas.</param>
/// <param name="Posed">What a posed picture counts beside 0 and 1.</param>
/// <param name="Spent">Characteristics already used for dating, separated by commas.</param>
/// <param name="Loss">Loss factors: characteristic:factor, separated by commas.</param>
/// <param name="Likeness">A where the comparison file cannot tell it.</param>
/// <param name="Basis">play or survivingBat.</param>
/// <param name="Scale">Id of the verbal scale.</param>
public sealed record WeighingWish(
    string? Habits = null, string? Comparison = null, long? HabitsVersion = null, long? ComparisonVersion = null, long? Examination = null, string? Read = null,
    string? Posed = null, string? Spent = null, string? Loss = null, string? Likeness = null, string? Basis = null, string? Scale = null);

/// <summary>A weighing with both files as they stood at their versions.</summary>
public sealed record WholeWeighing(BatWeighed Weighed, IReadOnlyList<Entry> Habits, IReadOnlyList<Entry> Comparison, WeighingAsked Asked)
{
    /// <summary>The same as an opinion states it: what its numbers are computed from besides the two files.</summary>
    public WeightInputs Inputs(Reading reading) => reading.InputsOf(Weighed, Habits, Asked.Choices);
}

/// <summary>Fetches the files and weighs. Nothing is recorded.</summary>
public sealed class WeighingDesk(Histories histories)
{
    /// <summary>Weighs a bat as a reading has it.</summary>
    public async Task<(BatWeighed? Weighed, Refusal? Refused)> Weigh(Reading reading, WeighingWish wish, CancellationToken ct)
    {
        var (whole, refused) = await Whole(reading, wish, ct);
        return (whole?.Weighed, refused);
    }

    /// <summary>Weighs a bat, with the entries of both files, so that a page can name what is in them and an opinion can state what it was computed from.</summary>
    public async Task<(WholeWeighing? Whole, Refusal? Refused)> Whole(Reading reading, WeighingWish wish, CancellationToken ct)
    {
        var (asked, unread) = WishReading.Read(wish);
        if (asked is null) return (null, unread);
        if ((wish.Habits ?? Cited(reading)) is not { } file)
            return (null, new("habit-file-not-said", "No habit file is named, and no entry of the bat cites one.", "Name its stream."));
        var (habits, noHabits) = await Version<CountsVersioned>(file, "habits", wish.HabitsVersion, v => v.Version, ct);
        if (habits is null) return (null, noHabits);
        var beside = habits.Select(e => (e.Fact as CharacteristicDefined)?.SameAs?.Stream).FirstOrDefault(s => s is not null);
        if ((wish.Comparison ?? beside?.ToString()) is not { } comparison)
            return (null, new("comparison-file-not-said", "No comparison file is named, and the habit file is set beside none.", "Name one."));
        var (others, noOthers) = await Version<ComparisonCountsVersioned>(comparison, "comparison", wish.ComparisonVersion, v => v.Version, ct);
        if (others is null) return (null, noOthers);
        var (weighed, refused) = reading.Weigh(habits, others, asked);
        return (weighed is null ? null : new WholeWeighing(weighed, habits, others, asked), refused);
    }

    /// <summary>Entries of a habit file up to its newest version, to choose values from before anything is weighed; null when there is no such file.</summary>
    public async Task<IReadOnlyList<Entry>?> Habits(Reading reading, string? said, CancellationToken ct) =>
        (said ?? Cited(reading)) is { } file ? (await Version<CountsVersioned>(file, "habits", null, v => v.Version, ct)).Entries : null;

    /// <summary>Compares the bat's placed findings with a habit file's usual zones; the file and its version as for a weighing.</summary>
    public async Task<(BatZones? Zones, Refusal? Refused)> Zones(Reading reading, string? said, long? version, long? examination, CancellationToken ct)
    {
        if ((said ?? Cited(reading)) is not { } file)
            return (null, new("habit-file-not-said", "No habit file is named, and no entry of the bat cites one.", "Name its stream."));
        var (habits, none) = await Version<CountsVersioned>(file, "habits", version, v => v.Version, ct);
        return habits is null ? (null, none) : (reading.Zones(habits, examination), null);
    }

    static string? Cited(Reading reading) => reading.Entries.Where(e => !e.IsVoid).SelectMany(e => e.Fact.Cites)
        .LastOrDefault(r => r.Ledger is null && r.Stream.Kind == "habits")?.Stream.ToString();

    /// <summary>A file's entries up to a version of its counts, with what the house may see.</summary>
    async Task<(IReadOnlyList<Entry>? Entries, Refusal? Refused)> Version<TVersion>(
        string said, string kind, long? number, Func<TVersion, long> numberOf, CancellationToken ct) where TVersion : Fact
    {
        if (!(StreamName.TryParse(said, out var stream) || StreamName.TryParse($"{kind}/{said}", out stream)) || stream.Kind != kind)
            return (null, new("file-unknown", $"This is not the name of a file of kind {kind}.", $"Give {kind}/ and 26 characters."));
        var entries = await histories.Shown(stream, ct);
        if (entries.Count == 0) return (null, new("file-unknown", "There is no such file in this ledger.", "Look its name up again."));
        return entries.LastOrDefault(e => e.Fact is TVersion v && (number is null || numberOf(v) == number)) is { } version
            ? (entries.Take((int)version.N).ToList(), null)
            : (null, new("file-has-no-version", "The file has no such version of its counts.", "Make a version, or name one that exists."));
    }
}

/// <summary>Reads what was asked in text, or says by name what of it cannot be read.</summary>
static class WishReading
{
    public static (WeighingAsked? Asked, Refusal? Refused) Read(WeighingWish wish)
    {
        List<string> unread = [];
        var readings = Pairs(wish.Read, "read", unread).Select(p => (p.Id, Value: Number(p.Text))).ToList();
        if (readings.Any(r => r.Value is null)) unread.Add("read");
        Dictionary<long, DecimalText> loss = [];
        foreach (var (id, text) in Pairs(wish.Loss, "loss", unread))
            if (!(Decimal(text) is { } factor && loss.TryAdd(id, factor))) unread.Add("loss");
        List<long?> spent = [.. Parts(wish.Spent).Select(Number)];
        if (spent.Contains(null)) unread.Add("spent");
        if (wish.Posed is not null && Decimal(wish.Posed) is null) unread.Add("posed");
        if (wish.Likeness is not null && Decimal(wish.Likeness) is null) unread.Add("likeness");
        ObservedIn? basis = wish.Basis switch { null or "play" => ObservedIn.Play, "survivingBat" => ObservedIn.SurvivingBat, _ => null };
        if (basis is null) unread.Add("basis");
        var scale = wish.Scale is null ? VerbalScale.Enfsi2015 : VerbalScale.All.FirstOrDefault(s => s.Id == wish.Scale);
        if (scale is null) unread.Add("scale");
        if (unread.Count > 0)
            return (null, new("weighing-unreadable", $"What was asked cannot be read: {string.Join(", ", unread.Distinct())}.",
                "Give 3:2,4:0 for values read, 3:0.2 for loss, numbers for what is spent, a known scale, and play or survivingBat."));
        return (new WeighingAsked(
            wish.Examination, [.. readings.Select(r => new ReadAs(r.Id, (int)Math.Min(r.Value!.Value, int.MaxValue)))],
            new WeighingChoices(Decimal(wish.Posed), Decimal(wish.Likeness), basis!.Value, loss, [.. spent.OfType<long>()], scale)), null);
    }

    static string[] Parts(string? list) => list is null ? [] : list.Split(',');

    static List<(long Id, string Text)> Pairs(string? list, string name, List<string> unread)
    {
        List<(long, string)> pairs = [];
        foreach (var part in Parts(list).Select(p => p.Split(':')))
        {
            if (part.Length == 2 && Number(part[0]) is { } id) pairs.Add((id, part[1]));
            else unread.Add(name);
        }
        return pairs;
    }

    static long? Number(string text) => long.TryParse(text, System.Globalization.NumberStyles.None, System.Globalization.CultureInfo.InvariantCulture, out var n) ? n : null;

    static DecimalText? Decimal(string? text) => DecimalText.TryParse(text, out var value, out _) ? value : null;
}
