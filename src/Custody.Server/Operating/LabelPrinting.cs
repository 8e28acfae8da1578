using Custody.Bats;
using Custody.Server.Labels;
using Custody.Server.Recording;

namespace Custody.Server.Operating;

/// <summary>The <c>label</c> command: issues one and writes it as a sheet to print, a picture and a drawing.</summary>
static class LabelPrinting
{
    public sealed record Wish(string Said, PartyId? By, LabelForm Form, LabelPlace Affixed, string Host, string House, LabelSheet Sheet, int StartAt);

    public static async Task<int> Run(DirectoryInfo data, Wish wish, DirectoryInfo folder, CancellationToken ct)
    {
        await using var ledger = await OpenedLedger.Open(data, ct);
        if (await ledger.Get<BatFinder>().Find(wish.Said, ct) is not { } bat)
            return Complaints.Say(BatFinder.Unknown(wish.Said));
        var (face, refused) = await ledger.Get<LabelDesk>().Issue(bat, wish.By, wish.Form, wish.Affixed, wish.Host, wish.House, idempotencyKey: null, ct);
        if (face is null) return Complaints.Say(refused!);
        foreach (var path in await Write([face], $"{bat.Registration!.ShortNumber}.label", wish.Sheet, wish.StartAt, folder, ct)) Console.WriteLine(path);
        Console.WriteLine("Fix it to a tied tag, a sleeve or a box, never to the wood. " + LabelFace.Caution);
        return 0;
    }

    /// <summary>Writes NAME.pdf with every face, and NAME.png and NAME.svg of the first.</summary>
    public static async Task<IReadOnlyList<string>> Write(
        IReadOnlyList<LabelFace> faces, string name, LabelSheet sheet, int startAt, DirectoryInfo folder, CancellationToken ct)
    {
        folder.Create();
        string Path(string extension) => System.IO.Path.Combine(folder.FullName, $"{name}.{extension}");
        await File.WriteAllBytesAsync(Path("pdf"), LabelPrint.Pdf(faces, sheet, startAt), ct);
        await File.WriteAllBytesAsync(Path("png"), LabelPrint.Png(faces[0]), ct);
        await File.WriteAllTextAsync(Path("svg"), LabelPrint.Svg(faces[0]), ct);
        return [Path("pdf"), Path("png"), Path("svg")];
    }
}
