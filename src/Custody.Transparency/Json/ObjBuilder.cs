using System.Collections;

namespace Custody.Transparency;

/// <summary>Collects members: <c>new ObjBuilder { { "v", "custody-entry/1" }, { "n", 7 } }.Build()</c>.</summary>
public sealed class ObjBuilder : IEnumerable<Json.Member>
{
    readonly List<Json.Member> members = [];

    /// <summary>Adds a member.</summary>
    public ObjBuilder Add(string name, Json value)
    {
        members.Add(new Json.Member(name, value));
        return this;
    }

    /// <summary>Adds a member unless there is nothing to say: the formats here know absent, never null.</summary>
    public ObjBuilder AddIfPresent(string name, Json? value) => value is null ? this : Add(name, value);

    /// <summary>The object.</summary>
    /// <exception cref="ArgumentException">A name was added twice.</exception>
    public Json.Obj Build() => new(members);

    /// <inheritdoc/>
    public IEnumerator<Json.Member> GetEnumerator() => members.GetEnumerator();

    IEnumerator IEnumerable.GetEnumerator() => GetEnumerator();
}
