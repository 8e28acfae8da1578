using System.Text.Json;
using Custody.Bats;
using Custody.Server.Recording;

namespace Custody.Server.Operating.Demo;

/// <summary>Tells the story: issues each line's command as a user would, once. A line answered in an earlier run is taken from its first answer.</summary>
sealed class DemoLoader(IReadOnlyDictionary<string, DemoLedger> ledgers, DemoStudio studio, DemoClock clock)
{
    readonly DemoMemory memory = new();

    /// <summary>What the lines recorded, for whoever prints it.</summary>
    public DemoMemory Memory => memory;

    /// <summary>Lines recorded in this run, lines answered before, acts refused as the story says.</summary>
    public (int Recorded, int Known, int Refused) Told { get; private set; }

    /// <exception cref="DemoFault">A line was refused, or was not refused as it says; the sentence names the line.</exception>
    public async Task Tell(DemoScript script, Action<DemoLine, int> progress, CancellationToken ct)
    {
        var lines = script.Lines;
        // What must be refused leaves no answer behind. It was tried before if anything later was recorded.
        var first = await FirstUntold(lines, ct);
        for (var i = 0; i < lines.Count; i++)
        {
            if (i < first) await Remember(lines[i], ct);
            else
            {
                clock.SetTo(lines[i].At);
                await Tell(lines[i], ct);
            }
            progress(lines[i], i + 1);
        }
    }

    async Task<int> FirstUntold(IReadOnlyList<DemoLine> lines, CancellationToken ct)
    {
        for (var i = lines.Count - 1; i >= 0; i--)
            if (lines[i].Refused is null && await Recalled(lines[i], ct) is not null) return i + 1;
        return 0;
    }

    Task<IReadOnlyList<EntryAnswer>?> Recalled(DemoLine line, CancellationToken ct) => LedgerOf(line).Get<FirstAnswers>().Recall(line.Submission, ct);

    async Task Remember(DemoLine line, CancellationToken ct)
    {
        if (line.Refused is not null) return;
        memory.Keep(line, await Recalled(line, ct) ?? throw new DemoFault($"{line.Where} was added before lines already told. Begin with an empty data folder."));
        Told = Told with { Known = Told.Known + 1 };
    }

    async Task Tell(DemoLine line, CancellationToken ct)
    {
        var ledger = LedgerOf(line);
        var outcome = line.Steps is [{ Act: nameof(RotateKey) or nameof(DeclareKeyCompromised) } change]
            ? await ledger.ChangeKey(note => Record(line, ledger, note, ct), change.Act == nameof(DeclareKeyCompromised), ct)
            : await Record(line, ledger, null, ct);
        Judge(line, outcome);
    }

    async Task<Outcome> Record(DemoLine line, DemoLedger ledger, string? keyNote, CancellationToken ct)
    {
        List<Step> steps = [];
        foreach (var step in line.Steps) steps.Add(await Step(line, step, ledger, keyNote, ct));
        return await ledger.Get<Recorder>().Record(steps, new Request(line.Submission), ct);
    }

    async Task<Step> Step(DemoLine line, DemoStep step, DemoLedger ledger, string? keyNote, CancellationToken ct)
    {
        var type = DemoCommands.Find(step.Act, line.Where);
        var stream = await StreamFor(line, step, type, ledger, ct);
        var filling = new DemoFilling(memory, studio, ledgers, line, keyNote);
        var filled = await filling.Fill(step.Command, ct);
        var command = Drawn(Bind(type, filled.ToJsonString(), line), line, ledger);
        return filling.CitesThisAct
            ? new Step(stream, command, (_, entries) => Drawn(Bind(type, filling.FillAgain(step.Command, entries).ToJsonString(), line), line, ledger))
            : new Step(stream, command);
    }

    static Command Bind(Type type, string json, DemoLine line)
    {
        try
        {
            return (Command)JsonSerializer.Deserialize(json, type, JsonText.Options)!;
        }
        catch (ValueRefused refused)
        {
            throw new DemoFault($"{line.Where}: {refused.Refusal.Sentence} ({refused.Refusal.Code})");
        }
        catch (JsonException unbound)
        {
            throw new DemoFault($"{line.Where}: the command cannot be read at {unbound.Path}: {unbound.Message}");
        }
    }

    // As the doorway does when a bat is registered without a number.
    static Command Drawn(Command command, DemoLine line, DemoLedger ledger) => command is RegisterBat { ShortNumber: null } bat
        ? bat with { ShortNumber = ledger.Get<Drawing>().ShortNumber(line.Submission) }
        : command;

    async Task<StreamName> StreamFor(DemoLine line, DemoStep step, Type type, DemoLedger ledger, CancellationToken ct)
    {
        if (step.Stream == DemoMemory.OwnStream) return (await ledger.Get<Histories>().All("ledger", ct))[0];
        if (memory.StreamOf(line.Ledger, step.Stream) is { } known) return known;
        var fresh = ledger.Get<Drawing>().Stream(step.Stream.Split('/')[0], line.Submission + "/" + step.Stream);
        memory.Begin(line.Ledger, step.Stream, fresh);
        return fresh;
    }

    void Judge(DemoLine line, Outcome outcome)
    {
        switch (outcome)
        {
            case Recorded recorded when line.Refused is null:
                memory.Keep(line, recorded.Entries);
                Told = Told with { Recorded = Told.Recorded + 1 };
                break;
            case Refused { Refusals: var refusals } when line.Refused is { } code && refusals.Any(r => r.Code == code):
                Told = Told with { Refused = Told.Refused + 1 };
                break;
            default:
                throw new DemoFault($"{line.Where} ({line.Key}, {string.Join(" and ", line.Steps.Select(s => s.Act))}) {Words(outcome)}"
                    + (line.Refused is { } expected ? $" It should have been refused with {expected}." : ""));
        }
    }

    static string Words(Outcome outcome) => outcome switch
    {
        Recorded => "was recorded.",
        Refused refused => "was refused: " + string.Join(" ", refused.Refusals.Select(r => $"{r.Sentence} {r.Remedy} ({r.Code})")),
        Conflicted => "met another act on the same stream; nothing else should be writing here.",
        _ => "names a stream that was never begun.",
    };

    DemoLedger LedgerOf(DemoLine line) => ledgers.GetValueOrDefault(line.Ledger) ?? throw new DemoFault($"{line.Where}: there is no ledger '{line.Ledger}'.");
}
