namespace Custody.Evidence;

/// <summary>Why an input was not taken. A refusal is an ordinary answer, not a fault: nothing was changed or recorded.</summary>
/// <param name="Code">Stable, machine-readable name of the rule that refused; never changes once published.</param>
/// <param name="Sentence">What is wrong, in plain words.</param>
/// <param name="Remedy">What would make the input acceptable.</param>
public record EvidenceRefusal(string Code, string Sentence, string Remedy);
