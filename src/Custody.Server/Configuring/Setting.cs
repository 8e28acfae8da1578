using System.Globalization;

namespace Custody.Server.Configuring;

/// <summary>One thing that a keeper can set from outside, by a variable of the environment: what it is called, what it does, and what holds when it is left alone.</summary>
/// <param name="Name">The variable.</param>
/// <param name="Meaning">What it does, in a sentence or two.</param>
/// <param name="Default">What holds when it is not set, as it would be written; empty for nothing.</param>
/// <param name="Unit">Of a number: what one of it is. Empty where there is none.</param>
/// <param name="IsSecret">Whoever reads it can do harm with it: it belongs in a file for its owner alone.</param>
public sealed record Setting(string Name, string Meaning, string Default = "", string Unit = "", bool IsSecret = false)
{
    /// <summary>What is set; null when nothing is, or only blanks.</summary>
    /// <param name="environment">Gives a variable's value, null when it is not set.</param>
    public string? In(Func<string, string?> environment) => environment(Name) is { } said && !string.IsNullOrWhiteSpace(said) ? said.Trim() : null;

    /// <summary>The whole number that is set; the default where nothing is.</summary>
    /// <param name="least">The smallest that makes sense.</param>
    /// <exception cref="SettingFault">It is no such number.</exception>
    public int Number(Func<string, string?> environment, int least = 1) =>
        In(environment) is not { } said ? int.Parse(Default, CultureInfo.InvariantCulture)
        : int.TryParse(said, NumberStyles.None, CultureInfo.InvariantCulture, out var number) && number >= least ? number
        : throw new SettingFault($"{Name} is \"{said}\"; it takes a whole number{(Unit.Length > 0 ? $" of {Unit}" : "")}, {least} or more.");

    /// <summary>Which of the words that it knows is set; the default where nothing is.</summary>
    /// <exception cref="SettingFault">It is another word.</exception>
    public string OneOf(Func<string, string?> environment, params string[] words) => In(environment) is not { } said ? Default
        : words.Contains(said, StringComparer.Ordinal) ? said
        : throw new SettingFault($"{Name} is \"{said}\"; it takes {string.Join(" or ", words)}.");
}

/// <summary>A setting that cannot be used; the sentence names it.</summary>
public sealed class SettingFault(string sentence, Exception? inner = null) : Exception(sentence, inner);
