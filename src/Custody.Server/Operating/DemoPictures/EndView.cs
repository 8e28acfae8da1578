using SkiaSharp;

namespace Custody.Server.Operating.DemoPictures;

/// <summary>The bat seen along its axis: knob, or barrel end. Angle 0 (the brand's side) is up.</summary>
static class EndView
{
    /// <summary>Paints the picture; returns pixels per inch and how many inches of scale belong to it.</summary>
    public static (double Scale, int Inches) Paint(SKBitmap bitmap, BatSurface surface, BatLook look, bool knob)
    {
        var radius = knob ? surface.Profile.KnobRadius : surface.Profile.BarrelRadius;
        var scale = bitmap.Height * 0.74 / (2 * Math.Max(radius, knob ? surface.Profile.BarrelRadius * 0.92 : radius));
        var (centreX, centreY, grain) = (bitmap.Width * 0.5, bitmap.Height * 0.45, new Noise(98));
        BatRenderer.Fill(bitmap, (px, py) =>
        {
            var (x, y) = ((px + 0.5 - centreX) / scale, (py + 0.5 - centreY) / scale);
            var away = Math.Sqrt(x * x + y * y);
            var behind = Behind(surface, knob, x, y, Studio.Ground(px / (double)bitmap.Width, py / (double)bitmap.Height, grain));
            var share = (float)Math.Clamp((radius - away) * scale + 0.5, 0, 1);
            return share <= 0 ? behind : behind.Towards(Face(surface, look, knob, x, y, away, radius), share);
        });
        return (scale, 1);
    }

    /// <summary>Past the knob the barrel shows, far behind and out of focus; under both lies a shadow.</summary>
    static Light Behind(BatSurface surface, bool knob, double x, double y, Light ground)
    {
        var wide = surface.Profile.BarrelRadius;
        var shadow = Shape.Step(wide * 1.35, wide * 0.75, Math.Sqrt((x - 0.06) * (x - 0.06) + (y - 0.2) * (y - 0.2)));
        ground *= 1 - 0.5f * shadow;
        if (!knob) return ground;
        var away = Math.Sqrt(x * x + y * y);
        var wood = surface.Side(surface.Profile.Length * 0.7, 90).Colour * (float)(0.42 - 0.16 * y / wide);
        var near = Shape.Step(surface.Profile.KnobRadius + 0.2, surface.Profile.KnobRadius, away) * 0.5f;
        return ground.Towards(wood * (1 - near), Shape.Step(wide + 0.05, wide - 0.07, away));
    }

    static Light Face(BatSurface surface, BatLook look, bool knob, double x, double y, double away, double radius)
    {
        // Flat in the middle, rounded over to the rim.
        var lean = Math.Pow(Shape.Step(0.72, 1.02, away / radius), 1.3) * 1.25;
        var cup = 0f;
        if (!knob && look.Cupped)
        {
            // A cup leans the other way: its far wall is lit, its near wall dark.
            const double rim = 0.62;
            cup = Shape.Step(rim + 0.02, rim - 0.05, away);
            lean -= 1.5 * cup * Shape.Step(0.1, 0.9, away / rim);
        }
        var (nx, ny) = away < 1e-9 ? (0, 0) : (x / away * Math.Sin(lean), y / away * Math.Sin(lean));
        return Studio.Lit(surface.End(knob, x, y), nx, ny, Math.Cos(lean)) * (1 - 0.28f * cup);
    }
}
