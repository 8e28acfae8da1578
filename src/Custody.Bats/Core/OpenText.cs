namespace Custody.Bats;

/// <summary>Marks a text that stands open in an entry. Text is withheld unless it is no person's free writing; the reason says what makes
/// this one so, and the rule that keeps it so stands in the fact's <c>Permit</c>.</summary>
[AttributeUsage(AttributeTargets.Property)]
public sealed class OpenTextAttribute(string reason) : Attribute
{
    public string Reason { get; } = reason;
}
