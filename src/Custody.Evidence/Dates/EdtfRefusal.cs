namespace Custody.Evidence;

/// <summary>Why a text is not an EDTF value that this program reads. The codes all begin with <c>edtf-</c>.</summary>
public sealed record EdtfRefusal(string Code, string Sentence, string Remedy) : EvidenceRefusal(Code, Sentence, Remedy);

/// <summary>Thrown by <see cref="Edtf.Parse"/> only; <see cref="Edtf.TryParse"/> answers the same refusal without an exception.</summary>
public sealed class EdtfRefused(EdtfRefusal refusal) : FormatException($"{refusal.Code}: {refusal.Sentence} {refusal.Remedy}")
{
    /// <summary>The refusal by name.</summary>
    public EdtfRefusal Refusal { get; } = refusal;
}
