using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Private;
using Marten;

namespace Custody.Server.Recording;

/// <summary>The one path by which anything is recorded: read the stream, shape the facts, build the entries, ask the rules, append. All
/// steps of an act are one transaction: all of it is recorded, or nothing.</summary>
public sealed class Recorder(IDocumentStore store, LedgerName ledger, TimeProvider clock, AliasBook aliases, WithheldValues withheld, KeyRing keys,
    Citations citations, FirstAnswers answers, Erasures erasures, AppendSignal signal)
{
    public Task<Outcome> Record(StreamName stream, Command command, Request request, CancellationToken ct) =>
        Record([new Step(stream, command)], request, ct);

    public async Task<Outcome> Record(IReadOnlyList<Step> steps, Request request, CancellationToken ct) =>
        Observing.Meters.Count(steps[0].Command, await Take(steps, request, ct));

    async Task<Outcome> Take(IReadOnlyList<Step> steps, Request request, CancellationToken ct)
    {
        var asked = request.IdempotencyKey is null ? [] : Digest(steps);
        if (request.IdempotencyKey is { } key && await answers.Find(key, asked, ct) is { } first) return first;
        await using var session = store.LightweightSession();
        // Always drawn, also for a retry: a lost submission gave nothing out, and a salt that could be made again would outlive an erasure.
        var act = new Act(session, RandomNumberGenerator.Fill);
        foreach (var step in steps)
            if (await Take(act, step, request, ct) is { } refused) return refused;
        var answer = new Recorded([.. act.Entries.Select(Told)]);
        if (request.IdempotencyKey is not null) answers.Put(session, request.IdempotencyKey, asked, answer, Now());
        try
        {
            await session.SaveChangesAsync(ct);
        }
        catch (Exception thrown) when (Conflicts.IsConflict(thrown))
        {
            // Two submissions with one key may race: the loser gets the winner's answer.
            return request.IdempotencyKey is { } again && await answers.Find(again, asked, ct) is { } won ? won : new Conflicted(steps[0].Stream.ToString());
        }
        await erasures.CarryOut(act.Entries, ct);
        signal.Appended();
        return answer;
    }

    /// <summary>Whether a submission with this key was recorded before.</summary>
    public Task<bool> WasAnswered(string idempotencyKey, CancellationToken ct) => answers.Has(idempotencyKey, ct);

    async Task<Outcome?> Take(Act act, Step step, Request request, CancellationToken ct)
    {
        var command = step.After(act.Entries);
        if (Door.Unfit(command) is { Count: > 0 } unfit) return new Refused(unfit);
        if (command is EraseParty && await erasures.Refuse(new PartyId(step.Stream), ct) is { } role) return new Refused([role]);
        var parties = await aliases.Look(step.Stream, act.NotYetGiven(step.Stream, command.LedgerSpeaks ? [] : Door.PartiesIn(command)), ct);
        // The first party of a ledger can only be recorded by itself.
        if (command is RecordParty self && self.By.Stream == step.Stream && parties.ContainsKey(self.By)) parties[self.By] = new KnownParty(null, self.Name);
        // Aliases first, then the stream: an alias that a rival gives in between is then given twice, which the table refuses as a conflict. The
        // other way round a rule would refuse it, and the asker would not know to retry.
        var stream = await Open(act, step.Stream, ct);
        if (!command.Begins && !stream.Exists) return new Unknown(step.Stream.ToString());
        if (act.Entries.Count == 0 && request.ExpectedN is { } expected && expected != stream.N) return new Conflicted(step.Stream.ToString());
        if (parties.Any(p => p.Value is null))
            return new Refused("party-unknown", "The command names a party that this ledger does not know, or that was erased.", "Record the party first.");
        var people = new Introductions(act.Known(step.Stream, parties), stream.LastAlias);
        var facts = stream.Produce(command, people);
        if (facts is null) return new Refused("wrong-stream", "This act does not belong on this kind of stream.", "Name a stream of the right kind.");
        Alias? by = command.LedgerSpeaks ? null : people.Of(command.By, Role.Other);
        for (var i = 0; i < facts.Count; i++)
        {
            // The first entry introduces everybody whom the act names.
            var fact = i == 0 ? facts[i] with { Parties = people.Introduced } : facts[i];
            if (await Append(act, stream, fact, command, by, people, ct) is { } refused) return refused;
        }
        aliases.Put(act.Session, step.Stream, people.Given);
        act.Give(step.Stream, people.Given);
        return null;
    }

    async Task<Refused?> Append(Act act, OpenStream stream, Fact fact, Command command, Alias? by, Introductions people, CancellationToken ct)
    {
        var at = new Envelope(ledger.Origin, Decisions.LatestRules, stream.Name, stream.N + 1, stream.Head, Recorded(stream), command.Occurred, by);
        var written = EntryCodec.Write(at, fact, act.Salts);
        var entry = new Entry(at, fact, written.Hash);
        var refusals = stream.Permit(entry, await citations.Load(fact, act.Entries, ct));
        if (refusals.Count > 0) return new Refused(refusals);
        stream.Append(written.Bytes, entry);
        withheld.Put(act.Session, entry, written.Withheld, alias => people.Given.FirstOrDefault(g => g.Value == alias).Key);
        act.Entries.Add(entry);
        return null;
    }

    static async Task<OpenStream> Open(Act act, StreamName name, CancellationToken ct)
    {
        if (!act.Open.TryGetValue(name, out var stream))
            act.Open[name] = stream = await StreamKind.Of(name).Open(act.Session, name, ct);
        return stream;
    }

    // A clock set back by a little (a leap, an adjustment) must not stop the house; one set back by more is refused by the rules.
    DateTimeOffset Recorded(OpenStream stream)
    {
        var now = Now();
        return now < stream.Recorded && stream.Recorded - now <= TimeSpan.FromSeconds(5) ? stream.Recorded : now;
    }

    DateTimeOffset Now() => DateTimeOffset.FromUnixTimeSeconds(clock.GetUtcNow().ToUnixTimeSeconds());

    static EntryAnswer Told(Entry entry) =>
        new(entry.Envelope.Stream.ToString(), entry.N, entry.Hash, entry.Fact.TypeName, entry.Envelope.Recorded);

    // Keyed: what was asked holds names, and a bare hash of it in the table would let anybody try them out.
    byte[] Digest(IReadOnlyList<Step> steps)
    {
        using var hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        foreach (var step in steps)
        {
            hash.AppendData(Encoding.UTF8.GetBytes($"{step.Stream}\n{step.Command.GetType().Name}\n"));
            hash.AppendData(JsonSerializer.SerializeToUtf8Bytes(step.Command, step.Command.GetType(), JsonText.Options));
        }
        return Convert.FromHexString(keys.DigestOf("request", hash.GetHashAndReset()));
    }
}
