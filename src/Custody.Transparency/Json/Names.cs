namespace Custody.Transparency;

/// <summary>Finds a repeated member name: by comparing pairs while there are few, by a set beyond, so that no input costs the square of its size.</summary>
static class Names
{
    const int Few = 12;

    internal static string? FirstRepeated(ReadOnlySpan<Json.Member> members)
    {
        if (members.Length > Few) return InSet(members);
        for (var i = 1; i < members.Length; i++)
            for (var j = 0; j < i; j++)
                if (string.Equals(members[i].Name, members[j].Name, StringComparison.Ordinal)) return members[i].Name;
        return null;
    }

    static string? InSet(ReadOnlySpan<Json.Member> members)
    {
        var seen = new HashSet<string>(members.Length, StringComparer.Ordinal);
        foreach (var member in members)
            if (!seen.Add(member.Name)) return member.Name;
        return null;
    }
}
