using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Examining;
using Custody.Server.Recording;
using Microsoft.AspNetCore.Mvc.Rendering;

namespace Custody.Server.Grading;

/// <summary>What the entries of a habit file call things.</summary>
public sealed class FileNames(IReadOnlyList<Entry> habits)
{
    readonly Dictionary<long, CharacteristicDefined> defined =
        habits.Where(e => e.Fact is CharacteristicDefined).ToDictionary(e => e.N, e => (CharacteristicDefined)e.Fact);

    /// <summary>The player, when his name is shown.</summary>
    public (PartyId Party, string Name)? Player => BatParties.In(habits).Where(p => p.Role == Role.Player).Select(p => ((PartyId, string)?)(p.Party, p.Name)).FirstOrDefault();

    public IEnumerable<(long Id, CharacteristicDefined Defined)> All => defined.Select(d => (d.Key, d.Value));

    public string Characteristic(long id) => defined.GetValueOrDefault(id) is { } d ? d.Title?.Value ?? Words.Of(d.Characteristic.Kind.ToString()) : $"characteristic {id}";

    public string Characteristics(IEnumerable<long> ids) => string.Join(" with ", ids.Select(Characteristic));

    /// <summary>A value by its name; 0 is absence.</summary>
    public string Value(long id, int value) => value == 0 ? "absent" : Named(id) is { } names && value <= names.Count ? names[value - 1] : $"value {value}";

    public string Values(IReadOnlyList<long> ids, IReadOnlyList<int> values) => string.Join(", ", ids.Zip(values, Value));

    /// <summary>What can be read of a characteristic: absent, or one of its values.</summary>
    public IEnumerable<SelectListItem> Choices(long id) => Enumerable.Range(0, defined[id].Characteristic.Values + 1)
        .Select(v => new SelectListItem(Value(id, v), string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{id}:{v}")));

    IReadOnlyList<string>? Named(long id) => defined.GetValueOrDefault(id)?.ValueNames?.Value;

    /// <summary>Files of a kind to choose from, by what they are called; the first hundred.</summary>
    internal static async Task<IReadOnlyList<(StreamName Stream, string Name)>> Known(Histories histories, string kind, CancellationToken ct)
    {
        List<(StreamName, string)> known = [];
        foreach (var stream in (await histories.All(kind, ct)).Take(100))
        {
            var entries = await histories.Shown(stream, ct);
            known.Add((stream, entries.Select(e => e.Fact switch
            {
                HabitFileOpened opened => $"{new FileNames(entries).Player?.Name ?? "a player not named here"}, {opened.Period}",
                ComparisonFileOpened opened => $"{Words.Of(opened.From.ToString())}, {opened.Period}",
                RubricPublished rubric => rubric.Title?.Value ?? "a rubric",
                _ => null,
            }).FirstOrDefault(n => n is not null) ?? stream.ToString()));
        }
        return known;
    }
}
