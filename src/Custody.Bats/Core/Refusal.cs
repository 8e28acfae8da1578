namespace Custody.Bats;

/// <summary>A named refusal (rule 8): nothing is recorded.</summary>
/// <param name="Code">Stable, kebab-case, never reused for another meaning.</param>
/// <param name="Sentence">What is wrong, in plain words, without personal data.</param>
/// <param name="Remedy">What would make it acceptable.</param>
public sealed record Refusal(string Code, string Sentence, string Remedy);

/// <summary>The entries a decision may look at in other streams, found by exact reference. Each stands earlier in the log.</summary>
public interface ICited
{
    /// <summary>The entry with exactly this stream, number and hash, or null when it is not known here.</summary>
    Entry? Find(Reference reference);
}

/// <summary>Cites nothing.</summary>
public sealed class NothingCited : ICited
{
    public static readonly NothingCited Instance = new();

    public Entry? Find(Reference reference) => null;
}
