using System.Globalization;
using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>How far a ledger has gone on from the entry a dossier ends with.</summary>
/// <param name="Stream">The bat's stream.</param>
/// <param name="Given">Number of the dossier's last entry.</param>
/// <param name="Now">Number of the ledger's last entry under its newest checkpoint.</param>
/// <param name="Later">How many entries came later; 0 when the dossier is complete, or is not of this history at all.</param>
/// <param name="Fits">Whether the dossier's last entry is the one this ledger holds at that number.</param>
/// <param name="Size">Size of that checkpoint.</param>
/// <param name="AsOf">When it was signed, by the ledger's clock.</param>
/// <param name="Sentence">The same for people.</param>
public sealed record LaterThan(string Stream, long Given, long Now, long Later, bool Fits, long Size, DateTimeOffset AsOf, string Sentence)
{
    /// <summary>Compares the last entry of a dossier with what the ledger holds.</summary>
    /// <param name="entry">Hash of the dossier's last entry.</param>
    /// <param name="here">Hash of the entry the ledger holds at that number; null when it holds none.</param>
    /// <param name="now">Number of the ledger's last entry.</param>
    public static LaterThan Compare(string stream, long given, Hash entry, Hash? here, long now, long size, DateTimeOffset asOf)
    {
        var fits = here == entry;
        var later = fits ? now - given : 0;
        return new(stream, given, now, later, fits, size, asOf, here is null
            ? string.Create(CultureInfo.InvariantCulture, $"This ledger holds no entry {given} of this history: the dossier goes on beyond it. Keep the dossier.")
            : !fits
                ? string.Create(CultureInfo.InvariantCulture, $"This ledger holds another entry {given} than this dossier: one of the two was changed. Keep the dossier and check it.")
                : Words(later));
    }

    /// <summary>The count in words: "3 entries later than this dossier".</summary>
    public static string Words(long later) => later switch
    {
        0 => "No entry is later than this dossier.",
        1 => "1 entry later than this dossier: ask the holder for a new one.",
        _ => string.Create(CultureInfo.InvariantCulture, $"{later} entries later than this dossier: ask the holder for a new one."),
    };
}
