namespace Custody.Server.Operating.DemoPictures;

/// <summary>The fixed views every bat is photographed in, and the whole bat.</summary>
public enum BatView { Full, Brand, Grain, Handle, Knob, BarrelEnd }

public enum BatWood { Ash, Hickory, Maple, Birch }

public enum TapePattern { None, Rings, Spiral, CrissCross }

/// <summary>Tape on the handle; inches from the knob's outer face.</summary>
public sealed record Tape(TapePattern Pattern, double From, double To);

/// <summary>Pine tar between two places, inches from the knob; density 0 (trace) to 1 (heavy).</summary>
public sealed record PineTar(double From, double To, double Density);

/// <summary>A crack along the grain; inches from the knob, degrees clockwise seen from the knob, 0 at the brand.</summary>
public sealed record Crack(double From, double To, double Angle);

/// <summary>
/// An invented bat as it looks. The seed is the piece of wood: two pictures with one seed show the same grain and the same marks
/// from different sides, and a look changed with `with` (tar cleaned off, a crack opened) is the same bat later.
/// </summary>
public sealed record BatLook(int Seed)
{
    /// <summary>Inches, 30 to 38.</summary>
    public double Length { get; init; } = 34;
    /// <summary>Thickest part, inches.</summary>
    public double Diameter { get; init; } = 2.5;
    /// <summary>Thinnest part of the handle, inches.</summary>
    public double HandleDiameter { get; init; } = 1.0;
    public BatWood Wood { get; init; } = BatWood.Ash;
    /// <summary>0 raw and pale to 1 dark with age and finish.</summary>
    public double Age { get; init; } = 0.4;
    public bool Cupped { get; init; }

    /// <summary>Up to three lines burned inside the brand's oval: an invented maker.</summary>
    public IReadOnlyList<string> Brand { get; init; } = [];
    /// <summary>Block letters on the barrel beyond the brand.</summary>
    public string? BarrelStamp { get; init; }
    /// <summary>Pressed into the knob: the model.</summary>
    public string? KnobStamp { get; init; }
    /// <summary>Written on the knob by hand: the uniform number.</summary>
    public string? KnobNumber { get; init; }

    public Tape? Tape { get; init; }
    public PineTar? PineTar { get; init; }
    public Crack? Crack { get; init; }
    public int BallMarks { get; init; }
    public int RackMarks { get; init; }
    /// <summary>The club's rack paint, 0xRRGGBB.</summary>
    public uint RackPaint { get; init; } = 0x2F5D3A;
}

/// <summary>What the demonstration's camera writes into its files.</summary>
/// <param name="Taken">Exif form `YYYY:MM:DD hh:mm:ss`.</param>
/// <param name="Offset">`+hh:mm` or `-hh:mm`.</param>
/// <param name="Latitude">Degrees north, negative south; with <paramref name="Longitude"/> or not at all.</param>
public sealed record DemoCamera(string Make, string Model, string Taken, string Offset, double? Latitude = null, double? Longitude = null);
