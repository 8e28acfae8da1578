using QRCoder;

namespace Custody.Server.Labels;

/// <summary>The QR symbol (ISO/IEC 18004) of an address: dark modules, quiet zone not included.</summary>
public sealed class LabelSymbol
{
    /// <summary>ISO/IEC 18004 6.3.8: the quiet zone is 4 modules wide on every side.</summary>
    public const int QuietZone = 4;

    const int SturdyVersion = 12;

    readonly bool[,] dark;

    LabelSymbol(bool[,] dark) => this.dark = dark;

    /// <summary>Modules along one side, quiet zone not included.</summary>
    public int Size => dark.GetLength(0);

    public bool Dark(int row, int column) => dark[row, column];

    /// <summary>
    /// Encodes at level H, which corrects up to 30 % of the codewords, in version 12: the smallest in which a lost quarter of the area, edges and
    /// all, never takes more codewords from any one block than that block corrects (14); most smaller versions stand exactly at or over
    /// their limit. The quarter must not hold one of the three finder patterns: they carry no redundancy, and no reader finds a symbol
    /// without them.
    /// </summary>
    /// <exception cref="ArgumentException">The address is too long (a host of some 250 characters).</exception>
    public static LabelSymbol Sturdy(string url) => Encode(url, SturdyVersion);

    /// <summary>Encodes at level H in the smallest version that holds the address, for labels without room for <see cref="Sturdy"/>: some
    /// damage is survived, a whole quarter usually not.</summary>
    /// <exception cref="ArgumentException">The address is too long.</exception>
    public static LabelSymbol Small(string url) => Encode(url, -1);

    static LabelSymbol Encode(string url, int version)
    {
        try
        {
            using var data = QRCodeGenerator.GenerateQrCode(url, QRCodeGenerator.ECCLevel.H, requestedVersion: version);
            return From(data);
        }
        catch (QRCoder.Exceptions.DataTooLongException)
        {
            throw new ArgumentException("The address is too long for a label.", nameof(url));
        }
    }

    static LabelSymbol From(QRCodeData data)
    {
        // The generator's matrix includes the quiet zone.
        var size = data.ModuleMatrix.Count - 2 * QuietZone;
        var dark = new bool[size, size];
        for (var row = 0; row < size; row++)
        {
            for (var column = 0; column < size; column++) dark[row, column] = data.ModuleMatrix[row + QuietZone][column + QuietZone];
        }
        return new(dark);
    }
}
