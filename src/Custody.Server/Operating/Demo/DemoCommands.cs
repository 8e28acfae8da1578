using Custody.Bats;

namespace Custody.Server.Operating.Demo;

/// <summary>Commands by class name.</summary>
static class DemoCommands
{
    static readonly Dictionary<string, Type> ByName = typeof(Command).Assembly.GetTypes()
        .Where(t => t is { IsAbstract: false } && t.IsAssignableTo(typeof(Command))).ToDictionary(t => t.Name, StringComparer.Ordinal);

    /// <exception cref="DemoFault">There is no such act.</exception>
    public static Type Find(string act, string where) =>
        ByName.GetValueOrDefault(act) ?? throw new DemoFault($"{where}: there is no act '{act}'.");
}
