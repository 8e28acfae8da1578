using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using Custody.Bats;

namespace Custody.Ledger;

/// <summary>A buyer's challenge to whoever says that they hold title to a bat, as it is kept: a code that only buyer and holder know, and the buyer's own
/// words, both as digests. Nothing that anybody typed stands in it.</summary>
/// <param name="Code">SHA-256 of the code: who reads the table cannot answer.</param>
/// <param name="Bat">The bat it was asked about, and no other.</param>
/// <param name="Words">SHA-256 of code and words: without the code nobody can try words out.</param>
/// <param name="Asked">When, by the clock of the doorway.</param>
/// <param name="Answered">When it was answered; null while it is not.</param>
public sealed record HolderChallenge(byte[] Code, StreamName Bat, byte[] Words, DateTimeOffset Asked, DateTimeOffset? Answered)
{
    /// <summary>How long an answer is taken. Long enough to reach an owner by telephone, too short to be collected beforehand.</summary>
    public static readonly TimeSpan Lasts = TimeSpan.FromHours(1);

    /// <summary>Longest words taken, in characters: enough for who asks, where and about what.</summary>
    public const int LongestWords = 200;

    public DateTimeOffset Expires => Asked + Lasts;

    /// <summary>A challenge for a bat.</summary>
    /// <param name="code">26 characters of 128 bits from a cryptographic generator; never used twice.</param>
    public static HolderChallenge Ask(string code, StreamName bat, string words, DateTimeOffset now) => new(CodeOf(code), bat, WordsOf(code, words), now, null);

    /// <summary>Why these words cannot be asked with; null when they can.</summary>
    public static Refusal? RefuseWords(string words) => Folded(words).Length is > 0 and <= LongestWords ? null
        : new("challenge-words", "A challenge has words of the asker's own, at most 200 characters.", "Say something that the holder could not have known before: a name, a place, a day.");

    /// <summary>What the table keeps of a code.</summary>
    public static byte[] CodeOf(string code) => SHA256.HashData(Encoding.UTF8.GetBytes("custody/challenge/v1\n" + code));

    static byte[] WordsOf(string code, string words) => SHA256.HashData(Encoding.UTF8.GetBytes($"custody/challenge-words/v1\n{code}\n{Folded(words)}"));

    // Words are told by telephone: case and spaces between them do not matter.
    static string Folded(string words) => string.Join(' ', words.Split((char[]?)null, StringSplitOptions.RemoveEmptyEntries)).ToUpperInvariant();

    /// <summary>Whether this answer counts, judged by what stands now. Whoever keeps the door has made sure who answers.</summary>
    /// <param name="asked">The challenge of this code; null when there is none.</param>
    /// <param name="code">The code as given with the answer.</param>
    /// <param name="words">The asker's words as given with the answer.</param>
    /// <param name="about">The bat the answer is about.</param>
    /// <param name="who">Alias of who answers in that bat's history; null when they have none.</param>
    public static Refusal? Refuse(HolderChallenge? asked, string code, string words, Bat about, Alias? who, DateTimeOffset now) => asked switch
    {
        null => new("challenge-unknown", "No challenge has this code.", "Read the code again, or ask for a new challenge."),
        { Answered: not null } => new("challenge-answered", "This challenge was answered already, and counts once.", "Ask for a new challenge."),
        _ when now >= asked.Expires || now < asked.Asked => new("challenge-expired", "The time for an answer is over.", "Ask for a new challenge."),
        _ when asked.Bat.ToString() != about.Id => new("challenge-other-bat", "This challenge is about another bat.", "Answer for the bat it was asked about."),
        _ when !CryptographicOperations.FixedTimeEquals(asked.Words, WordsOf(code, words)) =>
            new("challenge-other-words", "These are not the words that the challenge was asked with.", "Ask the buyer for their words, and whether they asked you at all."),
        _ => RefuseHolder(about, who),
    };

    static Refusal? RefuseHolder(Bat bat, Alias? who) =>
        bat.Registration is null or { Voided: true } || bat.Identity.End is not null || Elsewhere.Since(bat) is not null
            ? new("challenge-not-here", "The history of this bat does not go on here, so nobody answers for its title here.", "Look where it goes on.")
        : who is { } alias && bat.Title.IsHeldBy(alias) ? null
        : new("challenge-not-holder", "Whoever answers is no holder of title to this bat, as asserted here.", "Only the account of a holder of title can answer.");

    /// <summary>What a challenge shows now, and nothing more.</summary>
    public ChallengeStanding Standing(DateTimeOffset now) =>
        Answered is not null ? ChallengeStanding.Answered : now >= Expires ? ChallengeStanding.Expired : ChallengeStanding.Open;

    /// <summary>The same in words.</summary>
    /// <param name="origin">The ledger's name.</param>
    /// <param name="number">The bat's number.</param>
    public string Said(string origin, string number, DateTimeOffset now) => Standing(now) switch
    {
        ChallengeStanding.Answered => $"Answered. This proves who answers for the account of a holder of title to bat {number}, as asserted, at {origin} at {Time(Answered!.Value)}. "
            + "It proves nothing more: not who stands in front of you, not that the bat is there, not that the title is good.",
        ChallengeStanding.Expired => $"Nobody answered by {Time(Expires)}. That proves nothing: ask again when the holder can be reached.",
        _ => $"Not answered yet. An answer is taken until {Time(Expires)}.",
    };

    static string Time(DateTimeOffset time) => time.UtcDateTime.ToString("yyyy-MM-dd HH:mm:ss", CultureInfo.InvariantCulture) + " UTC";
}

/// <summary>How a challenge stands.</summary>
public enum ChallengeStanding
{
    Open,
    Answered,
    Expired,
}
