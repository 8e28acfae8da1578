namespace Custody.Server.Comparing;

/// <summary>What a comparison allows, as typed before anything is marked.</summary>
public sealed class ComparisonForm
{
    public string? Source { get; set; }
    public string? Picture { get; set; }
    public string? Tolerance { get; set; } = "0.02";
    public string? Pose { get; set; } = "1";
    public string? From { get; set; }
    public string? To { get; set; }
    public string? FromAngle { get; set; }
    public string? ToAngle { get; set; }
    public string? X { get; set; } = "0";
    public string? Y { get; set; } = "0";
    public string? Width { get; set; }
    public string? Height { get; set; }
    public string? Justification { get; set; }
}
