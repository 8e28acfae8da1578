using System.Globalization;
using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Dossiers;
using Custody.Server.Labels;
using Custody.Server.Log;
using Custody.Server.Publishing;
using Custody.Server.Recording;
using Custody.Transparency;
using Marten;

namespace Custody.Server.Operating.Demo;

/// <summary>What the demo leaves in its output folder: dossiers and label sheets.</summary>
sealed class DemoPapers(DemoScript script, DemoMemory memory, IReadOnlyDictionary<string, DemoLedger> ledgers, DirectoryInfo output, TextWriter text)
{
    static async Task<Bat> Bat(DemoLedger ledger, StreamName stream, CancellationToken ct)
    {
        await using var session = ledger.Get<IDocumentStore>().QuerySession();
        return await session.LoadAsync<Bat>(stream.ToString(), ct) ?? throw new DemoFault($"{stream} was never begun.");
    }

    /// <summary>Writes every bat's dossier, with what the story shows of it, and checks it as a stranger with the ledgers' keys would.</summary>
    /// <returns>True when a check failed.</returns>
    public async Task<bool> Dossiers(CancellationToken ct)
    {
        await text.WriteLineAsync("\nDossiers, each checked with the ledgers' keys\n");
        List<VerifierKey> keys = [.. ledgers.Values.Select(l => l.Get<LogDesk>().Key)];
        var failed = false;
        foreach (var (name, local, stream) in memory.All("bat").ToList())
        {
            var ledger = ledgers[name];
            var folder = Path.Combine(output.FullName, "dossiers", name);
            var asked = script.Dossiers.FirstOrDefault(d => d.Ledger == name && d.Bat == local) ?? new DemoDossier(name, local, [], null, null);
            var earlier = asked.Earlier is { } from ? await Earlier(from, ct) : EarlierHistories.None;
            var (done, refused) = await ledger.Get<DossierDesk>().Write(
                await Bat(ledger, stream, ct), Reveal.Parse(asked.Reveal), earlier, folder, asked.For, PartyId.Ledger, ct);
            if (refused is not null) throw new DemoFault($"The dossier of {local} was refused: {refused.Sentence} {refused.Remedy}");
            failed |= await Verdict(done!, keys);
        }
        return failed;
    }

    /// <summary>The other house's dossier, as it was handed over with the bat.</summary>
    async Task<EarlierHistories> Earlier(string said, CancellationToken ct)
    {
        var parts = said.Split(':', 2);
        var stream = memory.StreamOf(parts[0], parts[1]) ?? throw new DemoFault($"There is no bat {said}.");
        var bat = await Bat(ledgers[parts[0]], stream, ct);
        var file = new FileInfo(Path.Combine(output.FullName, "dossiers", parts[0], DossierWriter.FileName(bat.Registration!.ShortNumber)));
        var (read, refused) = EarlierDossiers.Read([file], TimeProvider.System.GetUtcNow());
        return read ?? throw new DemoFault($"The earlier dossier of {said} was refused: {refused!.Sentence} {refused.Remedy}");
    }

    async Task<bool> Verdict(DossierDesk.Written written, List<VerifierKey> keys)
    {
        await using var file = File.OpenRead(written.Path);
        var report = Checker.Run(DossierReader.Read(file), new Expected(keys, null, TimeProvider.System.GetUtcNow()));
        var counts = report.Checks.CountBy(c => c.Result).ToDictionary();
        await text.WriteLineAsync(string.Create(CultureInfo.InvariantCulture,
            $"  {Path.GetFileName(written.Path),-24} {written.Entries,3} entries, {written.Shown,3} values shown, {written.Withheld,3} withheld: "
            + $"{counts.GetValueOrDefault(CheckResult.Passed)} checks passed, {counts.GetValueOrDefault(CheckResult.OnHousesWord)} on the house's word, "
            + $"{counts.GetValueOrDefault(CheckResult.NotChecked)} not checked, {counts.GetValueOrDefault(CheckResult.Failed)} failed"));
        foreach (var check in report.Checks.Where(c => c.Result == CheckResult.Failed))
            await text.WriteLineAsync($"    FAILED {check.Name}: {check.Reason}");
        return report.HasFailed;
    }

    /// <summary>Prints the labels in use of each house: sheets of A4 and Letter stock, and each label by itself.</summary>
    public async Task Labels(CancellationToken ct)
    {
        await text.WriteLineAsync("\nLabels in use\n");
        foreach (var ledger in ledgers.Values)
        {
            var folder = output.CreateSubdirectory(Path.Combine("labels", ledger.Name));
            List<LabelFace> faces = [];
            foreach (var (_, _, stream) in memory.All("bat").Where(b => b.Ledger == ledger.Name)) faces.AddRange(await Faces(ledger, stream, ct));
            foreach (var face in faces)
            {
                var name = Path.Combine(folder.FullName, $"{face.ShortNumber}.label-{face.Serial}");
                await File.WriteAllBytesAsync(name + ".png", LabelPrint.Png(face), ct);
                await File.WriteAllTextAsync(name + ".svg", LabelPrint.Svg(face), ct);
            }
            foreach (var sheet in new[] { LabelSheet.A4With21, LabelSheet.LetterWith10 })
                await File.WriteAllBytesAsync(Path.Combine(folder.FullName, $"labels.{sheet.Name}.pdf"), LabelPrint.Pdf(faces, sheet), ct);
            await text.WriteLineAsync($"  {ledger.Place.Origin}: {string.Join(", ", faces.Select(f => $"{f.ShortNumber} no. {f.Serial}"))}");
        }
    }

    /// <summary>Writes the offline checker page beside the dossiers, in none of them. The story's ledger vouches for it.</summary>
    public async Task Page(CancellationToken ct)
    {
        await text.WriteLineAsync($"\nThe checker as a page to open from disk\n\n  {await CheckerDesk.Write(output, ct)}\n  {CheckerCommand.Words(CheckerPage.Sha256)}");
    }

    static async Task<IReadOnlyList<LabelFace>> Faces(DemoLedger ledger, StreamName stream, CancellationToken ct)
    {
        var bat = await Bat(ledger, stream, ct);
        List<LabelFace> faces = [];
        foreach (var n in bat.Labels.ByEntry.Keys.Where(n => bat.Labels.IsGood(n, bat.Corrections)))
            faces.Add(await ledger.Get<LabelDesk>().FaceOf(stream, n, bat.Registration!, ledger.House, ct));
        return faces;
    }
}
