namespace Custody.Server.Operating.DemoPictures;

/// <summary>What light meets at one place of the bat: its colour, and how glossy it is (0 to 1).</summary>
readonly record struct Skin(Light Colour, float Gloss);

/// <summary>The bat's surface: wood, and over it, in the order a bat's life lays them down, brand, handling, tar, rack paint, ball marks, tape, crack.</summary>
sealed class BatSurface
{
    static readonly Light Burn = Light.Of(0x2A1A10), Tar = Light.Of(0x23170F), Cloth = Light.Of(0xD9CFB8), Grime = Light.Of(0x5A4630), Ink = Light.Of(0x17181C);

    readonly BatLook look;
    readonly Noise noise;
    readonly Timber timber;
    readonly Stencil? brand, barrelStamp, knobStamp, knobNumber;
    readonly Light paint;
    readonly (double Z, double Angle, double Size)[] balls, racks;

    public BatProfile Profile { get; }

    public BatSurface(BatLook look)
    {
        this.look = look;
        noise = new(unchecked(look.Seed * 31 + 7));
        timber = new(look);
        Profile = new(look);
        paint = Light.Of(look.RackPaint);
        brand = look.Brand.Count == 0 ? null : Stencil.Brand(look.Brand);
        barrelStamp = look.BarrelStamp is { } name ? Stencil.Line(name, 0.3) : null;
        knobStamp = look.KnobStamp is { } model ? Stencil.Line(model, 0.2) : null;
        knobNumber = look.KnobNumber is { } number ? Stencil.Line(number, 0.85) : null;
        var l = look.Length;
        balls = [.. Enumerable.Range(0, look.BallMarks).Select(i => (l - 4 - 7 * noise.Pick(i * 3), 60 + 240 * noise.Pick(i * 3 + 1), 0.55 + 0.4 * noise.Pick(i * 3 + 2)))];
        racks = [.. Enumerable.Range(200, look.RackMarks).Select(i => (l - 2 - 11 * noise.Pick(i * 3), 360 * noise.Pick(i * 3 + 1), 0.25 + 0.7 * noise.Pick(i * 3 + 2)))];
    }

    /// <summary>The side of the bat at z inches from the knob and an angle in degrees.</summary>
    public Skin Side(double z, double angle)
    {
        var radius = Profile.Radius(z);
        // One spelling of each angle, so that a turned bat shows the same surface.
        var signed = angle = Signed(angle);
        var (arc, rough) = (signed * (Math.PI / 180) * radius, Around(z, angle, 2.2, 2.6, 1));
        var colour = timber.Colour(z, angle, radius, endGrain: false);
        var gloss = 0.35f;
        colour = Branded(colour, z, arc, rough);
        var handled = Shape.Step(look.Length * 0.42, 3, z) * (0.25f + 0.5f * (float)look.Age) * (0.6f + 0.4f * rough);
        colour = colour.Towards(Grime, Math.Clamp(handled, 0, 0.5f));
        (colour, gloss) = Tarred(colour, gloss, z, angle, rough);
        colour = Struck(colour, z, angle, radius);
        (colour, gloss) = Taped(colour, gloss, z, angle, radius);
        return new(Cracked(colour, z, signed), gloss);
    }

    Light Branded(Light colour, double z, double arc, float rough)
    {
        var burn = 0.86f + 0.14f * rough;
        // The brand is read with the knob to the left; words run along the bat.
        if (brand is not null) colour = colour.Towards(Burn, brand.At(z - look.Length * 0.71, arc) * burn);
        return barrelStamp is null ? colour : colour.Towards(Burn, barrelStamp.At(z - look.Length * 0.86, arc) * burn * 0.9f);
    }

    (Light, float) Tarred(Light colour, float gloss, double z, double angle, float rough)
    {
        if (look.PineTar is not { } tar) return (colour, gloss);
        var ragged = 0.9 * Around(z, angle, 0.8, 2.4, 9) + 0.3 * Around(z, angle, 4, 8, 2);
        var within = Shape.Step(tar.From - 0.5, tar.From + 0.7, z + ragged) * Shape.Step(tar.To + 1.2, tar.To - 0.6, z + ragged);
        var cover = (float)(within * tar.Density * (0.8 + 0.35 * rough));
        return (colour.Towards(Tar, Math.Clamp(cover, 0, 0.93f)), gloss + 0.25f * cover);
    }

    Light Struck(Light colour, double z, double angle, double radius)
    {
        foreach (var (at, around, size) in racks)
        {
            var (dz, da) = (z - at, Signed(angle - around) * (Math.PI / 180) * radius);
            if (Math.Abs(dz) > 0.16 || Math.Abs(da) > size) continue;
            var streak = Shape.Step(0.11, 0.02, Math.Abs(dz + 0.03 * noise.At(da * 5, at, 4))) * Shape.Step(size, size * 0.5, Math.Abs(da));
            colour = colour.Towards(paint, streak * Shape.Step(-0.5, 0.4, noise.At(da * 14, z * 20, 6)) * 0.75f);
        }
        foreach (var (at, around, size) in balls)
        {
            var (dz, da) = (z - at, Signed(angle - around) * (Math.PI / 180) * radius);
            var away = Math.Sqrt(dz * dz + da * da) / size + 0.12 * Around(z, angle, 3, 3.6, at);
            if (away > 1.2) continue;
            // A scuffed ring, paler in the middle, with the dashes a seam leaves.
            var ring = Shape.Step(1.1, 0.85, away) * (0.16f + 0.12f * Shape.Step(0.4, 0.9, away));
            var seam = Math.Abs(away - 0.62) < 0.035 && Math.Sin(Math.Atan2(da, dz) * 34) > 0.2 ? 0.22f : 0;
            colour = colour.Towards(Grime, ring + seam);
        }
        return colour;
    }

    (Light, float) Taped(Light colour, float gloss, double z, double angle, double radius)
    {
        if (look.Tape is not { Pattern: not TapePattern.None } tape || z < tape.From || z > tape.To) return (colour, gloss);
        var turn = angle / 360;
        double Band(double phase, double pitch, double wide) => Math.Abs(phase / pitch - Math.Floor(phase / pitch) - 0.5) * pitch - wide / 2;
        // Distance outside the nearest strip's edge, inches; negative on the tape.
        var outside = tape.Pattern switch
        {
            TapePattern.Rings => Band(z - tape.From, 2.0, 0.72),
            TapePattern.Spiral => Band(z + turn * 1.1, 1.1, 0.8),
            _ => Math.Min(Band(z + turn * 2.2, 2.2, 0.7), Band(z - turn * 2.2, 2.2, 0.7)),
        };
        if (outside > 0.06) return (colour, gloss);
        if (outside > 0) return (colour * 0.6f, gloss);
        var weave = 1 + 0.05f * (float)(Math.Sin(z * 230) * Math.Sin(angle * (Math.PI / 180) * radius * 230));
        var worn = Math.Clamp(0.25f + 0.3f * (float)look.Age + 0.25f * Around(z, angle, 1.5, 1.6, 12), 0, 0.8f);
        var edge = outside > -0.035 ? 0.72f : 1f;
        var cloth = Cloth.Towards(Grime, worn) * (weave * edge);
        var tarred = look.PineTar is { } tar && z > tar.From && z < tar.To ? (float)tar.Density * 0.7f : 0;
        return (cloth.Towards(Tar, tarred), 0.08f + tarred * 0.4f);
    }

    Light Cracked(Light colour, double z, double signed)
    {
        if (look.Crack is not { } crack || z < crack.From || z > crack.To) return colour;
        var middle = Signed(crack.Angle) + 5 * noise.At(z * 0.9, 40, 0) + 1.2 * noise.At(z * 7, 41, 0);
        var open = 1.6 * Shape.Step(0, 0.8, z - crack.From) * Shape.Step(0, 0.8, crack.To - z);
        return colour * (1 - 0.85f * Shape.Step(open + 0.7, open * 0.4, Math.Abs(Signed(signed - middle))));
    }

    /// <summary>An end of the bat, inches right and down of its centre as one looks at it.</summary>
    public Skin End(bool knob, double right, double down)
    {
        // Seen from the knob angles run clockwise, from the barrel end the other way.
        var angle = Math.Atan2(knob ? right : -right, -down) * (180 / Math.PI);
        var distance = Math.Sqrt(right * right + down * down);
        var colour = timber.Colour(knob ? 0 : look.Length, angle, distance, endGrain: true);
        colour = colour.Towards(Grime, (0.1f + 0.3f * (float)look.Age) * (0.6f + 0.4f * noise.At(right * 3, down * 3, 20)));
        if (!knob) return new(colour * (1 - 0.5f * Shape.Step(0.05, 0.02, distance)), 0.25f);
        if (knobNumber is not null) colour = colour.Towards(Ink, knobNumber.At(right, down + (knobStamp is null ? 0 : 0.12)) * (0.82f - 0.3f * (float)look.Age));
        if (knobStamp is not null) colour = colour.Towards(Burn, knobStamp.At(right, down - 0.62) * 0.8f);
        return new(colour, 0.25f);
    }

    /// <summary>Noise without a seam: it is taken on the round of the bat, not along the angle, which jumps from 180 to -180.</summary>
    float Around(double z, double angle, double perInch, double perRadius, double salt)
    {
        var (sin, cos) = Math.SinCos(angle * (Math.PI / 180));
        return noise.At(z * perInch + salt * 31, sin * perRadius, cos * perRadius);
    }

    static double Signed(double angle) => angle - 360 * Math.Floor((angle + 180) / 360);
}
