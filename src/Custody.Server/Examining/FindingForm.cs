using Custody.Bats;
using Custody.Evidence;

namespace Custody.Server.Examining;

/// <summary>One finding as typed; read by <see cref="FindingPage"/>.</summary>
public sealed class FindingForm
{
    public string? Kind { get; set; }
    public string? Presence { get; set; }
    public string? Confidence { get; set; }
    public string? SeenBy { get; set; }
    public string? Zone { get; set; }
    public string? Shape { get; set; }
    public string? From { get; set; }
    public string? To { get; set; }
    public string? FromAngle { get; set; }
    public string? ToAngle { get; set; }
    public string? Measure { get; set; }
    public string? Unit { get; set; }
    public string? Picture { get; set; }
    public string? Text { get; set; }

    /// <summary>As a finding stated before would have been typed.</summary>
    public static FindingForm Of(FindingVersion finding) => new()
    {
        Kind = finding.Kind.ToString(),
        Presence = finding.Presence.ToString(),
        Confidence = finding.Confidence.ToString(),
        SeenBy = finding.SeenBy.ToString(),
        Shape = finding.Place?.Shape.ToString(),
        From = finding.Place is { } p ? Inches(p.From) : null,
        To = Inches(finding.Place?.To),
        FromAngle = finding.Place?.FromAngle?.Value.Text,
        ToAngle = finding.Place?.ToAngle?.Value.Text,
        Measure = finding.Measure?.Value.Text,
        Unit = finding.Measure?.Unit.Code,
        Picture = finding.Pictures.Count > 0 ? finding.Pictures[0].Text : null,
        Text = finding.Text,
    };

    static string? Inches(Quantity? length) => length?.To(Evidence.Unit.Inch, 3, Rounding.HalfAwayFromZero).Value.Reduced().Text;
}

/// <summary>A part of the bat by name, where nobody gave inches. Where one ends and the next begins is common practice on a bat of some 34 inches.</summary>
/// <param name="From">Inches from the knob's face.</param>
/// <param name="To">Likewise; null for the barrel's end.</param>
public sealed record BatZone(string Name, int From, int? To)
{
    public static IReadOnlyList<BatZone> All { get; } =
        [new("knob", 0, 1), new("handle", 1, 14), new("throat", 14, 21), new("barrel", 21, null)];
}
