using System.Collections;
using System.Globalization;
using System.Text;
using Custody.Bats;
using Custody.Evidence;

namespace Custody.Ledger;

/// <summary>Names and values of entries in words that a reader of the trade understands without knowing the format.</summary>
public static class Words
{
    /// <summary>BatReleased, custodyBasis: "Bat released", "custody basis". A trailing version number of a changed shape is left off.</summary>
    public static string Split(string name)
    {
        var text = new StringBuilder();
        foreach (var c in name.Split('.')[0])
        {
            if (char.IsAsciiLetterUpper(c) && text.Length > 0) text.Append(' ');
            text.Append(text.Length == 0 ? c : char.ToLowerInvariant(c));
        }
        return text.ToString();
    }

    /// <summary>The member name of a C# name, in words.</summary>
    public static string Of(string name) => Split(Shape.MemberName(name));

    /// <summary>A value as a reader wants it; people as <paramref name="person"/> says.</summary>
    public static string Of(object value, Func<Alias, string> person) => value switch
    {
        Alias alias => person(alias),
        Enum word => Of(word.ToString()),
        bool truth => truth ? "yes" : "no",
        long or int => Convert.ToString(value, CultureInfo.InvariantCulture)!,
        Fraction share => string.Create(CultureInfo.InvariantCulture, $"{share.Parts}/{share.Of}"),
        Reference other => string.Create(CultureInfo.InvariantCulture, $"entry {other.N} of {other.Stream}{(other.Ledger is null ? "" : " in " + other.Ledger)} ({other.Hash})"),
        PictureHash picture => DossierLayout.PhotographPath(picture.Text)["data/".Length..],
        Edtf or Quantity or Money or StreamName or string => value.ToString()!,
        IKeyed keyed => string.Join("; ", keyed.Parts.Select(p => $"{p.Key}: {Part(p.Value, person)}")),
        IPart part => Part(part, person),
        IEnumerable list => string.Join("; ", list.Cast<object>().Select(v => Of(v, person))),
        _ => throw new InvalidOperationException($"{value.GetType().Name} has no words."),
    };

    static string Part(IPart part, Func<Alias, string> person) => string.Join(", ", Fields(part)
        .Select(f => $"{f.Name} {Of(f.Value, person)}"));

    /// <summary>What is said in an object: open members and those withheld ones that are shown, in the order of its constructor.</summary>
    public static IEnumerable<(string Name, object Value, bool Withheld)> Fields(object part)
    {
        var shape = Shape.Of(part.GetType());
        return shape.Open.Concat(shape.Withheld).OrderBy(f => f.Place).Select(f => (f, Value: f.Value(part)))
            .Select(f => (f.f, Value: f.Value is IWithheld kept ? kept.Value : f.Value))
            .Where(f => f.Value is not null && !(f.Value is IEnumerable list and not string && !list.Cast<object>().Any()))
            .Select(f => (Split(f.f.Name), f.Value!, f.f.IsWithheld));
    }

    /// <summary>Names of the fields of an object, and of the objects in it, that are kept back or were never said.</summary>
    public static IEnumerable<string> Unshown(object part)
    {
        var shape = Shape.Of(part.GetType());
        foreach (var field in shape.Withheld)
            if (field.Value(part) is null) yield return Split(field.Name);
        foreach (var field in shape.Open)
            foreach (var inner in Parts(field.Value(part)).SelectMany(Unshown)) yield return inner;
    }

    static IEnumerable<IPart> Parts(object? value) => value switch
    {
        IKeyed keyed => keyed.Parts.Select(p => p.Value),
        IPart part => [part],
        _ => [],
    };
}
