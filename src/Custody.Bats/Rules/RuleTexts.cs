namespace Custody.Bats;

/// <summary>The published texts of the rule sets. The ledger stream holds the hash of each one adopted; the bytes are never changed.</summary>
public static class RuleTexts
{
    /// <summary>The text of a rule set as published, UTF-8 with line feeds.</summary>
    /// <exception cref="ArgumentOutOfRangeException">No rule set has this number here.</exception>
    public static byte[] Of(int number)
    {
        using var stream = typeof(RuleTexts).Assembly.GetManifestResourceStream($"rules-{number}.txt")
            ?? throw new ArgumentOutOfRangeException(nameof(number), number, "There is no such rule set here.");
        using var bytes = new MemoryStream();
        stream.CopyTo(bytes);
        return bytes.ToArray();
    }
}
