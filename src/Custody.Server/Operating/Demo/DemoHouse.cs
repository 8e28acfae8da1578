using System.Text;
using Custody.Server.Private;
using Custody.Server.Recording;

namespace Custody.Server.Operating.Demo;

/// <summary>A house of the story, with a ledger of its own: schema, folder and origin.</summary>
/// <param name="Name">As the story's files call it.</param>
/// <param name="Origin">The ledger's name.</param>
/// <param name="Printed">As its labels print it.</param>
sealed record DemoHouse(string Name, string Origin, string Printed)
{
    /// <summary>The house whose ledger begins the story, and the one that sells a bat of it again years later.</summary>
    public static IReadOnlyList<DemoHouse> All { get; } =
    [
        new("bellwether", "ledger.bellwether.example", "Bellwether Rooms"),
        new("merrow", "ledger.merrow-and-lisle.example", "Merrow & Lisle"),
    ];

    /// <summary>The first house's ledger is the data folder's own, so that every other command finds it there; the second stands beside it.</summary>
    /// <exception cref="DemoFault">The folder holds somebody's real ledger.</exception>
    public LedgerPlace Place(DirectoryInfo data, string connection)
    {
        if (this != All[0]) return new LedgerPlace(Origin, connection, Path.Combine(data.FullName, Name), Name);
        var kept = OwnerOnly.ReadOrMake(Path.Combine(data.FullName, "origin"), () => Encoding.UTF8.GetBytes(Origin));
        return Encoding.UTF8.GetString(kept) == Origin
            ? new LedgerPlace(Origin, connection, data.FullName)
            : throw new DemoFault($"The folder {data.FullName} holds the ledger {Encoding.UTF8.GetString(kept)}. Give the demo a folder of its own: --data DIR.");
    }
}
