using System.Reflection;

namespace Custody.Bats.Tests;

/// <summary>A fact as a stranger sees it: every withheld value gone, at any depth. Decisions must not notice (rule 10).</summary>
public static class Erased
{
    public static Entry Copy(Entry entry) => entry with { Fact = Copy(entry.Fact) };

    public static Fact Copy(Fact fact)
    {
        var copy = (Fact)CopyOf(fact);
        return fact.Parties is null ? copy : copy with { Parties = (Keyed<Introduced>)CopyOfKeyed(fact.Parties) };
    }

    static object CopyOf(object part)
    {
        var values = Shapes.Of(part.GetType()).Select(member => Erase(member.GetValue(part))).ToArray();
        var made = part.GetType().GetConstructors().OrderByDescending(c => c.GetParameters().Length).First();
        return made.Invoke(BindingFlags.DoNotWrapExceptions, null, values, null);
    }

    static object? Erase(object? value) => value switch
    {
        IWithheld => null,
        IKeyed keyed => CopyOfKeyed(keyed),
        IPart part => CopyOf(part),
        _ => value,
    };

    static object CopyOfKeyed(IKeyed keyed)
    {
        var copy = (IKeyed)Activator.CreateInstance(keyed.GetType())!;
        foreach (var (key, part) in keyed.Parts) copy.Put(key, (IPart)CopyOf(part));
        return copy;
    }
}
