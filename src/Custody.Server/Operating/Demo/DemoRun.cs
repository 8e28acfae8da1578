using System.Diagnostics;
using System.Globalization;
using Custody.Server.Recording;

namespace Custody.Server.Operating.Demo;

/// <summary>The demo from end to end: tell the story, print where each bat stands, write and check dossiers, print labels.</summary>
sealed class DemoRun(DemoScript script, DirectoryInfo output, TextWriter text)
{
    const int Width = 110;

    readonly DemoClock clock = new();

    /// <summary>What the story recorded, once it is told.</summary>
    public DemoMemory? Memory { get; private set; }

    /// <returns>0 when everything was recorded as told and every dossier passed its checks; otherwise 1.</returns>
    public async Task<int> Run(DirectoryInfo data, string connection, CancellationToken ct)
    {
        var watch = Stopwatch.StartNew();
        Dictionary<string, DemoLedger> ledgers = new(StringComparer.Ordinal);
        try
        {
            var studio = new DemoStudio(script.Looks);
            // Told before: the pictures are there, and none is drawn again.
            var ahead = Directory.Exists(DemoHouse.All[0].Place(data, connection).Folder("photographs")) ? Task.CompletedTask : studio.Ahead(script.Lines, ct);
            foreach (var house in DemoHouse.All) ledgers.Add(house.Name, await Open(house, data, connection, ct));
            var loader = new DemoLoader(ledgers, studio, clock);
            await Tell(loader, ct);
            Memory = loader.Memory;
            await ahead;
            clock.Release();
            await Bats(loader, ledgers, ct);
            var papers = new DemoPapers(script, loader.Memory, ledgers, output, text);
            var failed = await papers.Dossiers(ct);
            await papers.Labels(ct);
            await papers.Page(ct);
            foreach (var ledger in ledgers.Values) await ledger.Published(ct);
            await text.WriteLineAsync(string.Create(CultureInfo.InvariantCulture, $"\n{(failed ? "Something failed; see above." : "Everything holds.")} {watch.Elapsed.TotalSeconds:0} s."));
            return failed ? 1 : 0;
        }
        finally
        {
            foreach (var ledger in ledgers.Values) await ledger.DisposeAsync();
        }
    }

    async Task<DemoLedger> Open(DemoHouse house, DirectoryInfo data, string connection, CancellationToken ct)
    {
        var first = script.Lines.FirstOrDefault(l => l.Ledger == house.Name) ?? throw new DemoFault($"The story tells nothing of {house.Name}.");
        var place = house.Place(data, connection);
        // A house opens its ledger the day before it records anything. What an earlier run left unpublished is published today: no checkpoint
        // may be dated before the entries under it.
        if (Directory.Exists(place.Folder("log"))) clock.Release();
        else clock.SetTo(first.At.AddDays(-1));
        return await DemoLedger.Open(house, place, clock, ct);
    }

    async Task Tell(DemoLoader loader, CancellationToken ct)
    {
        await text.WriteLineAsync(string.Create(CultureInfo.InvariantCulture, $"Telling {script.Lines.Count} acts of the Pinewater League's bats."));
        var year = 0;
        await loader.Tell(script, (line, number) =>
        {
            if (line.At.Year == year) return;
            year = line.At.Year;
            text.WriteLine(string.Create(CultureInfo.InvariantCulture, $"  {year}: act {number} of {script.Lines.Count}"));
        }, ct);
        var (recorded, known, refused) = loader.Told;
        await text.WriteLineAsync(string.Create(CultureInfo.InvariantCulture, $"{recorded} recorded now, {known} told before, {refused} refused as they must be."));
    }

    async Task Bats(DemoLoader loader, Dictionary<string, DemoLedger> ledgers, CancellationToken ct)
    {
        foreach (var house in ledgers.Values)
        {
            await text.WriteLineAsync($"\nBats in the ledger of {house.Place.Origin}\n");
            foreach (var (_, name, stream) in loader.Memory.All("bat").Where(b => b.Ledger == house.Name))
                await text.WriteLineAsync((await BatWords.Of(stream, house.Get<Histories>(), clock.GetUtcNow(), ct)).Write(script.Headings.GetValueOrDefault((house.Name, name)), Width));
        }
    }
}
