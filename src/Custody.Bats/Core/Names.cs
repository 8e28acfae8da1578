using System.Diagnostics.CodeAnalysis;
using System.Globalization;

namespace Custody.Bats;

/// <summary>A person or firm as one stream knows it: p1, p2, ... (no leading zero). Means nothing outside that stream.</summary>
public readonly record struct Alias(int Number) : IComparable<Alias>
{
    public override string ToString() => "p" + Number.ToString(CultureInfo.InvariantCulture);

    public int CompareTo(Alias other) => Number.CompareTo(other.Number);

    public static bool TryParse([NotNullWhen(true)] string? text, out Alias alias)
    {
        alias = default;
        if (text is not ['p', >= '1' and <= '9', ..] || text.Length > 7) return false;
        if (!int.TryParse(text.AsSpan(1), NumberStyles.None, CultureInfo.InvariantCulture, out var number)) return false;
        alias = new Alias(number);
        return true;
    }

    public static Alias Parse(string text) =>
        TryParse(text, out var alias) ? alias : throw new FormatException($"'{text}' is not an alias (p1, p2, ...).");
}

/// <summary>Name of a stream: kind, slash, 26 Crockford characters (128 random bits), for example bat/0123...</summary>
public sealed record StreamName
{
    public static readonly IReadOnlyList<string> Kinds = ["bat", "party", "habits", "comparison", "sale", "rubric", "dossier", "ledger"];

    public string Kind { get; }
    public string Id { get; }

    StreamName(string kind, string id) => (Kind, Id) = (kind, id);

    public override string ToString() => $"{Kind}/{Id}";

    public static bool TryParse([NotNullWhen(true)] string? text, [NotNullWhen(true)] out StreamName? name)
    {
        name = null;
        var slash = text?.IndexOf('/') ?? -1;
        if (slash < 0) return false;
        var (kind, id) = (text![..slash], text[(slash + 1)..]);
        if (!Kinds.Contains(kind) || !IsId(id)) return false;
        name = new StreamName(kind, id);
        return true;
    }

    public static StreamName Parse(string text) =>
        TryParse(text, out var name) ? name : throw new FormatException($"'{text}' is not the name of a stream.");

    /// <summary>26 upper-case Crockford characters; the last one carries two zero bits, so it is one of 0 4 8 C G M R W.</summary>
    static bool IsId(string id) =>
        id.Length == 26 && id.All("0123456789ABCDEFGHJKMNPQRSTVWXYZ".Contains) && "048CGMRW".Contains(id[25]);
}

/// <summary>A person or firm as the ledger knows it across bats: the name of a <c>party</c> stream. Only commands carry it;
/// entries carry an <see cref="Alias"/> and withhold this.</summary>
public sealed record PartyId
{
    public StreamName Stream { get; }

    public PartyId(StreamName stream) =>
        Stream = stream.Kind == "party" ? stream : throw new FormatException($"'{stream}' is not the name of a party stream.");

    /// <summary>Stands where nobody acts but the ledger itself.</summary>
    public static readonly PartyId Ledger = Parse("party/" + new string('0', 26));

    public static PartyId Parse(string text) => new(StreamName.Parse(text));

    public override string ToString() => Stream.ToString();
}

/// <summary>Points at one entry: stream, number and entry hash; <see cref="Ledger"/> is null for an entry of the same ledger.</summary>
/// <param name="Hash">Entry hash, SHA-256 of its canonical bytes, 43 base64url characters.</param>
public sealed record Reference(string? Ledger, StreamName Stream, long N, string Hash);

/// <summary>SHA-256 of the released copy of a photograph, 43 base64url characters. Open by design: the copy travels in the dossier.</summary>
public readonly record struct PictureHash(string Text)
{
    public override string ToString() => Text;
}

/// <summary>A part of a whole, such as a share of title: parts of of, both 1 or more, parts not above of.</summary>
public sealed record Fraction(int Parts, int Of) : IPart
{
    public static readonly Fraction Whole = new(1, 1);

    public bool IsProper => Parts >= 1 && Of is >= 1 and <= 10_000 && Parts <= Of;

    /// <summary>Compares two proper fractions exactly.</summary>
    public bool IsLessThan(Fraction other) => (long)Parts * other.Of < (long)other.Parts * Of;

    /// <summary>True when the shares sum to exactly 1. Exact integers: thirds are not decimals.</summary>
    public static bool SumToWhole(IEnumerable<Fraction> shares)
    {
        System.Numerics.BigInteger parts = 0, of = 1;
        foreach (var share in shares)
        {
            if (!share.IsProper) return false;
            (parts, of) = ((parts * share.Of) + (share.Parts * of), of * share.Of);
        }
        return parts == of;
    }
}
