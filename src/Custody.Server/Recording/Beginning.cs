using System.Security.Cryptography;
using Custody.Bats;
using Custody.Server.Log;
using Custody.Transparency;

namespace Custody.Server.Recording;

/// <summary>The first entries of a new ledger: leaf 0 with its key and the promise of the next, then the rules it decides by.</summary>
public sealed class Beginning(Recorder recorder, Histories histories, LedgerName ledger, LogKeys keys)
{
    /// <summary>How often checkpoints come at least while entries wait, as leaf 0 promises (seconds).</summary>
    const int CheckpointSeconds = 60;

    /// <summary>Opens the ledger when it is new, and adopts the rules that it has not adopted. Nodes that start together come here one after the other.</summary>
    public async Task Ensure(CancellationToken ct)
    {
        var existing = await histories.All("ledger", ct);
        // Derived, not drawn: a rival that opens the same ledger at the same moment meets the same stream and loses the race.
        var stream = existing.Count > 0 ? existing[0] : StreamName.Parse("ledger/" + Crockford.Encode(SHA256.HashData(keys.Signer.Verifier.PublicKey.Span).AsSpan(0, 16)));
        var entries = await histories.Open(stream, ct);
        if (entries.Count == 0)
            await Take(stream, new OpenLedger(ledger.Origin, keys.Signer.Verifier.Text, keys.NextDigest.Text, [], 0, CheckpointSeconds) { By = PartyId.Ledger }, "ledger-opened", ct);
        var adopted = entries.Count(e => e.Fact is RulesAdopted);
        for (var number = adopted + 1; number <= Decisions.LatestRules; number++)
            await Take(stream, new AdoptRules(number, Hash.Of(RuleTexts.Of(number)).Text) { By = PartyId.Ledger }, $"rules-{number}", ct);
    }

    async Task Take(StreamName stream, Command command, string key, CancellationToken ct)
    {
        var outcome = await recorder.Record(stream, command, new Request("custody/beginning/" + key), ct);
        if (outcome is not Recorded)
            throw new InvalidOperationException(outcome is Refused { Refusals: [var first, ..] } ? $"{first.Code}: {first.Sentence}" : "The ledger could not be opened; try again.");
    }
}
