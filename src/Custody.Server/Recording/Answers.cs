using Custody.Bats;

namespace Custody.Server.Recording;

/// <summary>One recorded entry, as the one who asked for it is told.</summary>
public sealed record EntryAnswer(string Stream, long N, string Hash, string Type, DateTimeOffset Recorded);

/// <summary>How an act ended.</summary>
public abstract record Outcome;

/// <param name="Again">True when this is the first answer to a repeated submission: nothing was recorded now.</param>
public sealed record Recorded(IReadOnlyList<EntryAnswer> Entries, bool Again = false) : Outcome;

/// <summary>Rules refused it; nothing was recorded.</summary>
public sealed record Refused(IReadOnlyList<Refusal> Refusals) : Outcome
{
    public Refused(string code, string sentence, string remedy) : this([new Refusal(code, sentence, remedy)])
    {
    }
}

/// <summary>Somebody else's act on the same stream came first; nothing was recorded; read again and retry.</summary>
public sealed record Conflicted(string Stream) : Outcome;

/// <summary>There is no such stream in this ledger.</summary>
public sealed record Unknown(string Stream) : Outcome;

/// <summary>What surrounds a command.</summary>
/// <param name="IdempotencyKey">A repeated submission with the same key has no second effect and gets the first answer.</param>
/// <param name="ExpectedN">Entry number the asker last saw; a stream that has moved on is a conflict.</param>
public sealed record Request(string? IdempotencyKey = null, long? ExpectedN = null);

/// <summary>One step of an act: a command on one stream.</summary>
/// <param name="Citing">For a step that cites what the steps before it recorded: completes the command with their references.</param>
public sealed record Step(StreamName Stream, Command Command, Func<Command, IReadOnlyList<Entry>, Command>? Citing = null)
{
    public Command After(IReadOnlyList<Entry> entries) => Citing is null ? Command : Citing(Command, entries);
}
