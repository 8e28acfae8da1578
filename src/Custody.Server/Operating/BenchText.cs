using System.Globalization;
using System.Text.Json;
using Custody.Bats;
using Custody.Evidence;
using Custody.Ledger;

namespace Custody.Server.Operating;

/// <summary>Results of the bench in plain lines for whoever reads them in a terminal.</summary>
static class BenchText
{
    public static IEnumerable<string> Of(BatSeasons seasons)
    {
        if (seasons.Report is not { } report)
        {
            yield return $"{seasons.Refused!.Sentence} ({seasons.Refused.Code})";
            yield break;
        }
        foreach (var line in View("The bat alone", report.BatAlone)) yield return line;
        foreach (var line in View("If he used it", report.UnderPlayer)) yield return line;
        foreach (var fact in report.Facts)
            yield return $"  {fact.Id}: {Word(fact.Moment)} within {string.Join(", ", fact.Written)} ({(fact.IsUsual ? "usual" : "hard")}{(fact.IsAboutPlayer ? ", about the player" : "")}; {fact.Source})";
        foreach (var lag in report.Lags)
            yield return $"  {lag.Id}: {Word(lag.From)} to {Word(lag.To)} usually {Number(lag.LeastDays)} to {Number(lag.MostDays)} days ({lag.Source})";
        foreach (var left in seasons.LeftOut) yield return $"  left out: entry {Number(left.Entry)} {left.Fact} ({Word(left.Reason)})";
        foreach (var line in Cautions(report.Method, report.Cautions)) yield return line;
    }

    static IEnumerable<string> View(string title, SeasonsView view)
    {
        yield return $"{title}: {Runs(view.Hard)}; as usual: {Runs(view.Usual)}";
        foreach (var run in view.Hard)
            yield return $"  {Run(run)}: begins by {Sets(run.FirstBoundBy)}, ends by {Sets(run.LastBoundBy)}";
        if (view.Conflicts.Sets.Count > 0) yield return $"  no season is left; these cannot all hold: {Sets(view.Conflicts)}";
        if (view.UsualConflicts.Sets.Count > 0) yield return $"  as usual no season is left; these cannot all hold: {Sets(view.UsualConflicts)}";
    }

    static string Runs(IReadOnlyList<FeasibleRun> runs) => runs.Count == 0 ? "none" : string.Join(", ", runs.Select(Run));

    static string Run(FeasibleRun run) =>
        run.First is { } only && run.Last == only ? Number(only)
        : $"{(run.First is { } first ? Number(first) : "any time")} to {(run.Last is { } last ? Number(last) : "any time")}";

    static string Sets(ConflictList sets) =>
        sets.Sets.Count == 0 ? "nothing" : string.Join(" or ", sets.Sets.Select(s => string.Join(" with ", s))) + (sets.IsComplete ? "" : " and more");

    public static IEnumerable<string> Of(BatLayers layers)
    {
        if (layers.Examinations.Count == 0) yield return "No layers are recorded.";
        foreach (var examination in layers.Examinations)
        {
            yield return $"Examination {Number(examination.Examination)}:";
            foreach (var layer in examination.Layers) yield return $"  {layer.Key}: {Word(layer.Kind)}{(layer.Text is { } text ? ", " + text : "")}";
            if (examination.Refused is { } refused) yield return $"  {refused.Sentence} ({refused.Code})";
            if (examination.Order is not { } order) continue;
            foreach (var pair in order.Ordered)
                yield return $"  {pair.Before} before {pair.After} ({Word(pair.Confidence)}, {(pair.Seen ? "seen" : "follows")})";
            yield return $"  {order.Count ?? "too many to count"} permitted order(s), such as {string.Join(", ", order.Layers)}";
            foreach (var line in examination.Whereabouts.SelectMany(Fit)) yield return line;
        }
        foreach (var line in Cautions(LayerOrders.Method + ", " + Contacts.Method, layers.Cautions)) yield return line;
    }

    static IEnumerable<string> Fit(WhereaboutsRead read)
    {
        if (read.Fit is not { } fit)
        {
            yield return $"  list of entry {Number(read.Entry)}: {read.Refused!.Sentence} ({read.Refused.Code})";
            yield break;
        }
        yield return $"  list of entry {Number(read.Entry)}: {(fit.IsComplete ? "" : "at least ")}{Number(fit.Sequences)} sequence(s) of the list fit"
            + (fit.ProposedFits is { } fits ? fits ? "; the proposed one does" : "; the proposed one does not" : "");
        foreach (var contact in fit.Contacts)
            yield return $"    {contact.Layer} shows {read.Signs.GetValueOrDefault(contact.Sign) ?? contact.Sign}: "
                + $"{(contact.Fitting.Count == 0 ? "nothing of the list fits" : string.Join(", ", contact.Fitting.Select(key => Place(read, key))))}; {Number(contact.Others)} besides the one proposed";
        yield return "    a place that is not in the list is always possible";
    }

    static string Place(WhereaboutsRead read, string key) => read.Places.First(p => p.Key == key) is var place ? $"{place.Name ?? key} {place.When}" : key;

    public static IEnumerable<string> Of(BatComparisons comparisons)
    {
        if (comparisons.Comparisons.Count == 0) yield return "No picture is compared with this bat.";
        foreach (var comparison in comparisons.Comparisons)
        {
            yield return $"Comparison {Number(comparison.Entry)} with source {Number(comparison.Source)}: tolerance {comparison.Tolerance.Value} of the frame's width, pose fraction {comparison.PoseFraction.Value}";
            if (comparison.Recorded is { } recorded)
                yield return $"  recorded: {Word(recorded.Result)} ({(recorded.Method == FitMethod.PictureFit1 ? "computed by " + PictureComparing.Method : "as stated")}; marked by {Word(recorded.Marking)})";
            else
                yield return "  not compared yet";
            if (comparison.Refused is { } refused) yield return $"  nothing can be computed: {refused.Sentence} ({refused.Code})";
            if (comparison.Computed is { } computed)
                foreach (var line in Of(computed)) yield return "  " + line;
            if (comparison.AsRecorded is { } same) yield return same ? "  the recorded numbers come out again" : "  the recorded numbers do not come out again";
        }
        foreach (var line in Cautions(PictureComparing.Method, comparisons.Cautions)) yield return line;
    }

    public static IEnumerable<string> Of(PictureResult result)
    {
        yield return result.Words;
        yield return $"sigma {result.Sigma}, median leave-one-out error {result.LeaveOneOut} of the frame's width; worst pair {Number(result.WorstPair)}; {Number(result.Agreeing)} of {Number(result.Pairs.Count)} pairs agree";
        yield return $"accidental configurations to be expected: {result.FalseAlarms}, with everything tried {result.FalseAlarmsAll}";
    }

    public static IEnumerable<string> Of(BatCondition condition)
    {
        if (condition.Examinations.Count == 0) yield return "No findings are locked.";
        foreach (var line in condition.Steps.SelectMany(s => Step(condition, s))) yield return line;
        foreach (var handover in condition.Handovers)
        {
            yield return $"Hand-over {Number(handover.Released)}{(handover.Received is { } n ? ", received " + Number(n) : ", not received")}:"
                + $" given {handover.Given ?? "(nothing said)"}; taken {handover.Taken ?? "(nothing said)"}";
            yield return handover.Step is null ? "  not examined at both ends" : $"  examined before ({Number(handover.ExaminedBefore!.Value)}) and after ({Number(handover.ExaminedAfter!.Value)}): see above";
        }
        foreach (var damage in condition.NewDamage)
            yield return $"Open: {Word(damage.Kind)} f{Number(damage.Finding)} of examination {Number(damage.Later)}, {Word(damage.Change)} ({Word(damage.Certainty)}) since {Number(damage.Earlier)}";
        foreach (var line in Cautions(Condition.Method, condition.Cautions)) yield return line;
    }

    public static IEnumerable<string> Of(BatCondition condition, ConditionStep step) => Step(condition, step).Concat(Cautions(Condition.Method, condition.Cautions));

    static IEnumerable<string> Step(BatCondition condition, ConditionStep step)
    {
        yield return $"Examination {Number(step.Earlier)} ({step.EarlierWhen}) to {Number(step.Later)} ({step.LaterWhen}):";
        if (step.Refused is { } refused) yield return $"  {refused.Sentence} ({refused.Code})";
        foreach (var change in step.Difference?.Changes ?? [])
            yield return $"  {Word(change.Change)}: {change.Kind} {change.Earlier ?? "-"} / {change.Later ?? "-"} ({Word(change.Certainty)})"
                + (change.GrownInches is { Sign: not 0 } by ? $", {by} in along the axis" : "") + (change.AnglesCompared ? "" : ", angles counted from different marks");
        if (step.Between.Count > 0) yield return $"  between: {string.Join(", ", step.Between.Select(b => $"{Words.Split(b.Type)} {Number(b.Entry)}"))}";
    }

    public static IEnumerable<string> Of(BatBody body)
    {
        yield return $"Limits asked for {(body.Played.Count == 0 ? "no season: the dates conflict" : string.Join(", ", body.Played))}";
        foreach (var measured in body.Measurements) yield return $"  {Word(measured.Measure)} {measured.Value}, give or take {measured.Tolerance}";
        if (body.Flags.Count == 0) yield return "  nothing measured lies outside a limit";
        foreach (var flag in body.Flags)
            yield return $"  question: {Word(flag.Measurement.Measure)} {flag.Measurement.Value} lies outside {flag.Row.Least?.ToString() ?? "-"} to {flag.Row.Most?.ToString() ?? "-"} ({Word(flag.Certainty)}; {flag.Row.Source}{(flag.Row.Standing == Standing.FromMemory ? ", from memory" : "")})";
        foreach (var weight in body.Weights)
            yield return $"Weight {weight.Earlier.Value} ({Number(weight.Earlier.Entry)}) to {weight.Later.Value} ({Number(weight.Later.Entry)}): expected {weight.Answer?.Expected.Least} to {weight.Answer?.Expected.Most} oz. {weight.Question ?? "Moisture alone explains it."}"
                + (weight.TreatedBetween.Count > 0 ? $" Treated between: {string.Join(", ", weight.TreatedBetween.Select(n => Number(n)))}." : "");
        foreach (var length in body.Lengths)
            yield return $"Length {length.Earlier.Value} ({Number(length.Earlier.Entry)}) to {length.Later.Value} ({Number(length.Later.Entry)}): {length.Answer?.DifferenceInches} in. {length.Question ?? "Within measuring."}";
        foreach (var species in body.Expected)
            yield return $"A bat of this shape in {species.Species}: {species.Ounces.Least} to {species.Ounces.Most} oz, {(species.IsWithin ? "as weighed" : "not as weighed")}{(species.Standing == Standing.FromMemory ? " (some figures from memory)" : "")}";
        foreach (var line in Cautions(body.Method, body.Cautions)) yield return line;
    }

    static IEnumerable<string> Cautions(string method, IReadOnlyList<string> cautions) => [$"Method {method}.", .. cautions];

    internal static string Number(long n) => n.ToString(CultureInfo.InvariantCulture);

    // camelCase words as separate ones: sameWoodSurface, same wood surface.
    internal static string Word<T>(T word) where T : struct, Enum =>
        JsonNamingPolicy.KebabCaseLower.ConvertName(word.ToString()).Replace('-', ' ');
}
