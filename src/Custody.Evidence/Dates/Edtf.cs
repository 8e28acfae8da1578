using System.Diagnostics.CodeAnalysis;

namespace Custody.Evidence;

/// <summary>The shape of an EDTF value.</summary>
public enum EdtfForm
{
    /// <summary>One date, season or span of years.</summary>
    Date,

    /// <summary>A day with a time of that day.</summary>
    DateTime,

    /// <summary>From one date to another.</summary>
    Interval,

    /// <summary>"[...]": one of these.</summary>
    OneOf,

    /// <summary>"{...}": all of these.</summary>
    AllOf,
}

/// <summary>
/// A date as people know it, in the Extended Date/Time Format (Library of Congress, 4 February 2019; the profile of ISO 8601-2:2019), levels
/// 0, 1 and 2. Kept exactly as typed; two values are equal when their text is.
/// </summary>
/// <remarks>
/// <para>"1952" dates something to 1952: it began on some day of that year and ended on some day of it. So the four bounds are those of a
/// period whose two ends are each known to within a span of days. The end of "1950/1952" lies anywhere in 1952.</para>
/// <para>Qualifiers ("?", "~", "%") never widen the bounds: the standard gives no width, and a width of ours would put numbers into a history
/// that nobody stated. What rests on a qualified date says so instead (<see cref="Precedence.RestsOnQualified"/>).</para>
/// <para>A time of day, with or without zone, is bounded by the day as written, where it was written; the zone is not applied.</para>
/// </remarks>
public sealed class Edtf : IEquatable<Edtf>
{
    /// <summary>Longest text read, in UTF-16 units.</summary>
    public const int LongestText = 256;

    internal Edtf(string text, EdtfForm form, IReadOnlyList<EdtfDate> dates, IReadOnlyList<Alternative> alternatives,
        bool startUnknown = false, bool endUnknown = false)
    {
        Text = text;
        Form = form;
        Dates = dates;
        Alternatives = alternatives.Count <= EdtfRuns.Most ? alternatives : [Alternative.Hull(alternatives)];
        StartUnknown = startUnknown;
        EndUnknown = endUnknown;
    }

    /// <summary>As typed.</summary>
    public string Text { get; }

    /// <summary>The shape of the value.</summary>
    public EdtfForm Form { get; }

    /// <summary>The dates in it, in the order typed: one, an interval's stated ends, or a set's members and ends of ranges.</summary>
    public IReadOnlyList<EdtfDate> Dates { get; }

    /// <summary>Whether any part is marked "?" or "%".</summary>
    public bool IsUncertain => Dates.Any(d => d.IsUncertain);

    /// <summary>Whether any part is marked "~" or "%".</summary>
    public bool IsApproximate => Dates.Any(d => d.IsApproximate);

    /// <summary>The first day on which it can have begun.</summary>
    public Bound EarliestStart => StartUnknown ? Bound.Unknown : Bound.FromExtended(StartLo);

    /// <summary>The last day on which it can have begun.</summary>
    public Bound LatestStart => StartUnknown ? Bound.Unknown : Bound.FromExtended(Alternatives.Max(a => a.StartHi));

    /// <summary>The first day on which it can have ended.</summary>
    public Bound EarliestEnd => EndUnknown ? Bound.Unknown : Bound.FromExtended(Alternatives.Min(a => a.EndLo));

    /// <summary>The last day on which it can have ended.</summary>
    public Bound LatestEnd => EndUnknown ? Bound.Unknown : Bound.FromExtended(EndHi);

    /// <summary>
    /// Whether every reading of this value begins after <paramref name="lastDay"/>, so that nobody can truthfully have seen it by then. For the
    /// day's grace between time zones, pass the day after the recording. False when the start is open or unknown.
    /// </summary>
    public bool CertainlyAfter(DateOnly lastDay) => !StartUnknown && StartLo > Day.Of(lastDay).Number && StartLo != Alternative.Future;

    /// <summary>Whether every reading of this value has ended before <paramref name="firstDay"/>. False when the end is open or unknown.</summary>
    public bool CertainlyBefore(DateOnly firstDay) => !EndUnknown && EndHi < Day.Of(firstDay).Number;

    internal IReadOnlyList<Alternative> Alternatives { get; }

    internal bool StartUnknown { get; }

    internal bool EndUnknown { get; }

    internal bool IsQualified => IsUncertain || IsApproximate;

    /// <summary>First day anything of it can have happened; an unknown start counts as no limit.</summary>
    internal long StartLo => Alternatives.Min(a => a.StartLo);

    /// <summary>Last day anything of it can have happened; an unknown end counts as no limit.</summary>
    internal long EndHi => Alternatives.Max(a => a.EndHi);

    /// <summary>Reads a value or says by name why not. Never throws, whatever the text.</summary>
    public static bool TryParse(string? text, [NotNullWhen(true)] out Edtf? value, [NotNullWhen(false)] out EdtfRefusal? refusal)
    {
        refusal = EdtfReader.Read(text, out value);
        return value is not null && refusal is null;
    }

    /// <summary>Reads a value; throws <see cref="EdtfRefused"/> where <see cref="TryParse"/> would refuse.</summary>
    public static Edtf Parse(string text) => TryParse(text, out var value, out var refusal) ? value : throw new EdtfRefused(refusal);

    /// <inheritdoc/>
    public bool Equals(Edtf? other) => other is not null && string.Equals(Text, other.Text, StringComparison.Ordinal);

    /// <inheritdoc/>
    public override bool Equals(object? obj) => Equals(obj as Edtf);

    /// <inheritdoc/>
    public override int GetHashCode() => StringComparer.Ordinal.GetHashCode(Text);

    /// <summary>Same text.</summary>
    public static bool operator ==(Edtf? a, Edtf? b) => a is null ? b is null : a.Equals(b);

    /// <summary>Other text.</summary>
    public static bool operator !=(Edtf? a, Edtf? b) => !(a == b);

    /// <summary>As typed.</summary>
    public override string ToString() => Text;
}
