using Custody.Server.Private;
using Custody.Server.Recording;

namespace Custody.Server.Dossiers;

/// <summary>Where a dossier stands while it is sent: readable by the server's user alone, gone afterwards. Each node has a folder of its own; what a node that died left
/// is swept when any of them starts next.</summary>
static class HandingOut
{
    public static string NewFolder(LedgerPlace place)
    {
        var own = Path.Combine(place.Folder("handing-out"), NodeTurns.In(place.DataFolder).Self);
        var folder = Path.Combine(own, Guid.NewGuid().ToString("N"));
        OwnerOnly.Folder(place.Folder("handing-out"));
        OwnerOnly.Folder(own);
        OwnerOnly.Folder(folder);
        return folder;
    }

    public static Task Forget(string folder)
    {
        if (Directory.Exists(folder)) Directory.Delete(folder, recursive: true);
        return Task.CompletedTask;
    }

    public static void Sweep(LedgerPlace place) => NodeTurns.In(place.DataFolder).SweepAfterTheDead(place.Folder("handing-out"));
}
