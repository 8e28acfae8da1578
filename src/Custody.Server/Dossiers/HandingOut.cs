using Custody.Server.Private;
using Custody.Server.Recording;

namespace Custody.Server.Dossiers;

/// <summary>Where a dossier stands while it is sent: readable by the server's user alone, gone afterwards. What a crash left is swept at the next start.</summary>
static class HandingOut
{
    public static string NewFolder(LedgerPlace place)
    {
        var folder = Path.Combine(place.Folder("handing-out"), Guid.NewGuid().ToString("N"));
        OwnerOnly.Folder(place.Folder("handing-out"));
        OwnerOnly.Folder(folder);
        return folder;
    }

    public static Task Forget(string folder)
    {
        if (Directory.Exists(folder)) Directory.Delete(folder, recursive: true);
        return Task.CompletedTask;
    }

    public static void Sweep(LedgerPlace place) => Forget(place.Folder("handing-out"));
}
