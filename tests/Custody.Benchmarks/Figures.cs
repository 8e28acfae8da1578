using System.Globalization;
using System.Text;
using System.Text.Json;

namespace Custody.Benchmarks;

/// <summary>What was measured, in the order it was.</summary>
sealed class Figures
{
    sealed record Figure(string Key, double Value, string Unit, string Goal, bool? Met);

    static readonly JsonSerializerOptions Indented = new() { WriteIndented = true };

    readonly List<Figure> all = [];

    public void AtLeast(string key, double value, string unit, double goal) => all.Add(new(key, Rounded(value), unit, ">= " + Text(goal), value >= goal));

    public void Below(string key, double value, string unit, double goal) => all.Add(new(key, Rounded(value), unit, "< " + Text(goal), value < goal));

    /// <summary>A figure without a goal, to understand the others by.</summary>
    public void Note(string key, double value, string unit) => all.Add(new(key, Rounded(value), unit, "", null));

    /// <summary>What was measured before in this run.</summary>
    /// <exception cref="InvalidOperationException">It was not.</exception>
    public double Of(string key) => all.First(f => f.Key == key).Value;

    public string Table()
    {
        StringBuilder table = new();
        var width = all.Max(f => f.Key.Length);
        table.AppendLine($"{"figure".PadRight(width)}  {"measured",12}  {"unit",-12}  {"goal",-10}  verdict");
        foreach (var f in all)
            table.AppendLine($"{f.Key.PadRight(width)}  {Text(f.Value),12}  {f.Unit,-12}  {f.Goal,-10}  {Verdict(f.Met)}".TrimEnd());
        return table.ToString();
    }

    public string Json() => JsonSerializer.Serialize(all.ToDictionary(f => f.Key, f => f.Value), Indented) + "\n";

    static string Verdict(bool? met) => met is null ? "" : met.Value ? "met" : "NOT MET";

    // Three digits are what a shared machine gives; more would only look exact.
    static double Rounded(double value) => value == 0 ? 0 : Math.Round(value, Math.Clamp(2 - (int)Math.Floor(Math.Log10(Math.Abs(value))), 0, 6));

    static string Text(double value) => value.ToString("#,0.######", CultureInfo.InvariantCulture);
}
