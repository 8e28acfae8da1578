using Microsoft.AspNetCore.Mvc;

namespace Custody.Server.Grading;

/// <summary>What a weighing is asked for by the query of a page, and as the fields of a form that carries it on.</summary>
public sealed class WeighingQuery
{
    [FromQuery(Name = "habits")]
    public string? Habits { get; set; }

    [FromQuery(Name = "comparison")]
    public string? Comparison { get; set; }

    [FromQuery(Name = "examination")]
    public long? Examination { get; set; }

    /// <summary>characteristic:value, each.</summary>
    [FromQuery(Name = "read")]
    public List<string> Read { get; set; } = [];

    /// <summary>Numbers of characteristics spent on dating.</summary>
    [FromQuery(Name = "spent")]
    public List<string> Spent { get; set; } = [];

    [FromQuery(Name = "posed")]
    public string? Posed { get; set; }

    [FromQuery(Name = "basis")]
    public string? Basis { get; set; }

    [FromQuery(Name = "likeness")]
    public string? Likeness { get; set; }

    /// <summary>How often a mark seen in play is gone later, by the number of the characteristic.</summary>
    [FromQuery(Name = "loss")]
    public Dictionary<string, string?> Loss { get; set; } = [];

    /// <summary>Id of the verbal scale.</summary>
    [FromQuery(Name = "scale")]
    public string? Scale { get; set; }

    /// <summary>A loss factor as typed; null for none.</summary>
    public string? LossOf(long characteristic) => Text(Loss.GetValueOrDefault(characteristic.ToString(System.Globalization.CultureInfo.InvariantCulture)));

    IEnumerable<KeyValuePair<string, string>> Losses => Loss.OrderBy(l => l.Key, StringComparer.Ordinal)
        .Where(l => Text(l.Value) is not null).Select(l => KeyValuePair.Create(l.Key, Text(l.Value)!.Replace(',', '.')));

    public WeighingWish Wish(bool forOpinion = false) => new(
        Text(Habits), Text(Comparison), null, null, Examination, Joined(Read), forOpinion ? null : Text(Posed)?.Replace(',', '.'), Joined(Spent), Joined([.. Losses.Select(l => $"{l.Key}:{l.Value}")]),
        Text(Likeness)?.Replace(',', '.'), Text(Basis), forOpinion ? null : Text(Scale));

    /// <summary>As name and value, for links and hidden fields.</summary>
    public IEnumerable<KeyValuePair<string, string?>> Fields => new (string Name, string? Value)[]
        { ("habits", Text(Habits)), ("comparison", Text(Comparison)), ("examination", Examination?.ToString(System.Globalization.CultureInfo.InvariantCulture)), ("posed", Text(Posed)), ("basis", Text(Basis)), ("likeness", Text(Likeness)), ("scale", Text(Scale)) }
        .Concat(Read.Where(r => r.Length > 0).Select(r => (Name: "read", Value: (string?)r))).Concat(Spent.Where(s => s.Length > 0).Select(s => (Name: "spent", Value: (string?)s))).Concat(Losses.Select(l => (Name: $"loss[{l.Key}]", Value: (string?)l.Value)))
        .Where(f => f.Value is not null).Select(f => KeyValuePair.Create(f.Name, f.Value));

    public string Query => QueryString.Create(Fields).ToString();

    static string? Text(string? said) => string.IsNullOrWhiteSpace(said) ? null : said.Trim();

    static string? Joined(List<string> said) => said.Where(s => s.Length > 0).ToList() is { Count: > 0 } all ? string.Join(',', all) : null;
}
