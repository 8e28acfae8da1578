using Custody.Evidence;

namespace Custody.Bats;

/// <summary>The new value of an open member that was written wrongly. Exactly one kind is given, the kind that stands there; none at all
/// says that nothing should stand there.</summary>
/// <param name="Words">An enumerated word of the corrected member, or all words of a list.</param>
/// <param name="Numbers">A whole number, or all numbers of a list.</param>
public sealed record OpenValue(
    [property: OpenText("words of the corrected member's own enumeration; any other is refused")] IReadOnlyList<string> Words,
    IReadOnlyList<long> Numbers, IReadOnlyList<PictureHash> Photographs, Quantity? Quantity, Edtf? Date) : IPart
{
    public static readonly OpenValue None = new([], [], [], null, null);

    public bool IsEmpty => Kinds == 0;

    internal int Kinds =>
        new[] { Words.Count > 0, Numbers.Count > 0, Photographs.Count > 0, Quantity is not null, Date is not null }.Count(given => given);
}

/// <summary>The new value of a withheld member; the one that is of the member's kind counts.</summary>
public sealed record WithheldValue(
    string? Text = null, IReadOnlyList<string>? Texts = null, Money? Money = null, Quantity? Quantity = null, Edtf? Date = null,
    Reference? Reference = null);
