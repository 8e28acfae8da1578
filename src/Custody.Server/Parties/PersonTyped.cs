namespace Custody.Server.Parties;

/// <summary>Somebody as a form names them: a name as typed, and who of those it fits is meant. Bound from a <c>&lt;person&gt;</c> tag, read by <see cref="PeopleDesk.Read"/>.</summary>
public sealed class PersonTyped
{
    /// <summary>What <see cref="Party"/> says when nobody recorded is meant, and the name is to be recorded.</summary>
    public const string New = "new";

    /// <summary>Longest name that is taken, in characters.</summary>
    public const int Longest = 200;

    /// <summary>The name, or the beginnings of its words.</summary>
    public string? Name { get; set; }

    /// <summary>The stream of the party chosen, <see cref="New"/>, or nothing.</summary>
    public string? Party { get; set; }

    /// <summary>A <c>PartyKind</c> by name, for somebody new.</summary>
    public string? Kind { get; set; }
}
