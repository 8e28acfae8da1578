using System.Reflection;

namespace Custody.Bats.Tests;

public class OpenTextTests
{
    [Fact]
    public void Every_text_that_stands_open_in_an_entry_says_why()
    {
        var silent = Shapes.Names.SelectMany(name => Texts(Shapes.Find(name)!, name)).Distinct().ToList();
        Assert.True(silent.Count == 0, string.Join(", ", silent));
    }

    static IEnumerable<string> Texts(Type type, string at) => Shapes.Of(type).SelectMany(member =>
    {
        var inner = member.PropertyType.IsGenericType ? member.PropertyType.GetGenericArguments()[0] : member.PropertyType;
        if (member.PropertyType.IsAssignableTo(typeof(IWithheld))) return [];
        if (inner.IsAssignableTo(typeof(IPart))) return Texts(inner, $"{at}.{member.Name}");
        return inner == typeof(string) && member.GetCustomAttribute<OpenTextAttribute>() is null ? [$"{at}.{member.Name}"] : Array.Empty<string>();
    });
}
