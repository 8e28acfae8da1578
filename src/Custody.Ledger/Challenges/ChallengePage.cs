namespace Custody.Ledger;

/// <summary>Pages of a challenge for the buyer.</summary>
public static class ChallengePage
{
    /// <summary>The code, once, for whoever asked.</summary>
    public static string Made(string code, string words, string number, string origin, DateTimeOffset expires) => new PlainPage($"A challenge for bat {number}", origin)
        .P("Give these two to whoever says that they hold title to the bat, and nobody else:")
        .Table(["", ""], [["code", LabelPage.Grouped(code)], ["your words", words]])
        .P($"The account of a holder of title can answer once, until {EntryText.Write(expires)}. Write the code down: it is shown this once.")
        .Raw($"<form method=\"get\" action=\"/challenge/{code}\">\n<button>See whether it was answered</button>\n</form>\n").End();

    /// <summary>How a challenge stands.</summary>
    public static string Stands(HolderChallenge challenge, string number, string origin, DateTimeOffset now) => new PlainPage($"A challenge for bat {number}", origin)
        .Stamp(challenge.Standing(now) switch { ChallengeStanding.Answered => "answered", ChallengeStanding.Expired => "not answered in time", _ => "open" }, challenge.Standing(now) == ChallengeStanding.Answered)
        .P(challenge.Said(origin, number, now)).P($"Asked {EntryText.Write(challenge.Asked)}. Load this page again to see how it stands then.", "soft").End();

    /// <summary>No challenge of that code, or words that cannot be asked with.</summary>
    public static string Refused(string sentence, string remedy, string origin) => new PlainPage("No such challenge", origin).P(sentence).P(remedy).End();
}
