namespace Custody.Server.Operating.DemoPictures;

/// <summary>
/// The wood as a solid: growth rings around a pith some inches outside the bat. A bat is turned out of it, so end grain on the knob, flat
/// grain under the brand and edge grain a quarter turn away are cuts through one and the same piece.
/// </summary>
sealed class Timber
{
    readonly Noise noise;
    readonly double pith, ringsPerInch, lean;
    readonly Light early, late;
    readonly float contrast, pores;

    public Timber(BatLook look)
    {
        noise = new(look.Seed);
        pith = 4 + 5 * noise.Pick(1);
        ringsPerInch = 6.5 + 6 * noise.Pick(2);
        lean = 0.03 * (noise.Pick(3) - 0.5);
        (uint Early, uint Late, float Contrast, float Pores) = look.Wood switch
        {
            BatWood.Ash => (0xA87B4Bu, 0xE2C391u, 1f, 1f),
            BatWood.Hickory => (0x9A6A40u, 0xD3A775u, 0.85f, 0.8f),
            BatWood.Maple => (0xC79C6Bu, 0xE6C799u, 0.55f, 0.15f),
            _ => (0xC9A273u, 0xE8CDA3u, 0.5f, 0.25f),
        };
        (early, late, contrast, pores) = (Light.Of(Early), Light.Of(Late), Contrast, Pores);
        var stain = Light.Of(0xFFFFFF).Towards(Light.Of(0xB07A45), (float)look.Age);
        (early, late) = (early * stain, late * stain);
    }

    /// <summary>The wood's own colour at a point: z along the bat, angle clockwise seen from the knob, distance from the axis (inches).</summary>
    /// <param name="endGrain">True where the cut runs across the fibres.</param>
    public Light Colour(double z, double angle, double distance, bool endGrain)
    {
        var (sin, cos) = Math.SinCos(angle * (Math.PI / 180));
        var (x, y) = (distance * sin, distance * cos);
        var along = y + pith + lean * z + 0.05 * noise.At(z * 0.11, x * 0.5, y * 0.5) + 0.012 * noise.At(z * 0.6, x * 2, y * 2);
        var ring = Math.Sqrt(along * along + x * x) * ringsPerInch;
        var uneven = ring + 0.35 * noise.At(Math.Floor(ring) * 0.7, 3, 1);
        var part = uneven - Math.Floor(uneven);
        // A season begins with a sharp dark line of wide vessels and ends pale and dense.
        var dark = Math.Max(Shape.Step(0.42, 0.05, part), Shape.Step(0.93, 1, part)) * contrast;
        var fine = endGrain ? noise.At(x * 70, y * 70, 5) : noise.At(x * 55, y * 55, z * 1.6);
        var vessel = pores * dark * Shape.Step(0.25, 0.75, fine) * 0.55f;
        var streak = 1 + 0.07f * noise.At(x * 9, y * 9, z * 0.25) + 0.04f * (endGrain ? 0 : noise.At(x * 90, y * 90, z * 4));
        return late.Towards(early, dark * 0.8f) * ((1 - vessel) * streak * (endGrain ? 0.78f : 1f));
    }
}
