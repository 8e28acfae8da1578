using System.Collections;
using System.Collections.Concurrent;
using System.Reflection;
using Custody.Bats;
using Custody.Evidence.Text;

namespace Custody.Server.Recording;

/// <summary>What is looked at on every command before any rule is: typed text, amounts that will be withheld, and who is named.</summary>
static class Door
{
    /// <summary>Characters in one typed text. Enough for a page; a letter or report belongs in a document.</summary>
    public const int MaxText = 4000;

    static readonly ConcurrentDictionary<Type, PropertyInfo[]> Members = new();

    public static IReadOnlyList<Refusal> Unfit(Command command) =>
        [.. Within(command).OfType<string>().Select(Unfit).OfType<Refusal>(), .. command.Unfit];

    static Refusal? Unfit(string text) =>
        !TextAtTheDoor.Check(text, MaxText, out var normalised, out var refused) ? new(refused.Code, refused.Sentence, refused.Remedy)
        : normalised != text
            ? new("text-not-normalised", "A text is not in Unicode normalisation form C.", "Bring it to form C; the web doorway does so by itself.")
        // Also where it may be left out: its digest would stand in the entry as if something had been said.
        : TextAtTheDoor.IsBlank(text) ? new("text-blank", "A text holds nothing that can be read.", "Write what is meant, or leave the text out where it may be left out.")
        : null;

    public static IReadOnlyCollection<PartyId> PartiesIn(Command command) => [.. Within(command).OfType<PartyId>().Distinct()];

    /// <summary>Every value in a command, nested records and lists included.</summary>
    static IEnumerable<object> Within(object? value) => value switch
    {
        null => [],
        string or PartyId => [value],
        IDictionary map => map.Keys.Cast<object>().Concat(map.Values.Cast<object>()).SelectMany(Within),
        IEnumerable list => list.Cast<object?>().SelectMany(Within),
        _ when value.GetType() is { IsValueType: false } type && type.Assembly == typeof(Command).Assembly =>
            Members.GetOrAdd(type, Readable).SelectMany(p => Within(p.GetValue(value))),
        _ => [],
    };

    static PropertyInfo[] Readable(Type type) =>
        [.. type.GetProperties().Where(p => p.GetIndexParameters().Length == 0 && p.Name is not ("EqualityContract" or nameof(Command.Unfit)) && (!p.PropertyType.IsValueType))];
}
