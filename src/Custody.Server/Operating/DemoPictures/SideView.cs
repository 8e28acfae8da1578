using SkiaSharp;

namespace Custody.Server.Operating.DemoPictures;

/// <summary>The bat lying across the picture, knob to the left, seen from far above (parallel rays).</summary>
static class SideView
{
    /// <summary>Paints the picture; returns pixels per inch and how many inches of scale belong to it.</summary>
    public static (double Scale, int Inches) Paint(SKBitmap bitmap, BatSurface surface, BatLook look, BatView view, double roll)
    {
        var (from, to, inches, turn) = view switch
        {
            BatView.Brand => (look.Length * 0.71 - 3.4, look.Length * 0.71 + 3.4, 2, 0),
            BatView.Grain => (look.Length * 0.71 - 3.4, look.Length * 0.71 + 3.4, 2, 90),
            BatView.Handle => (-0.7, 10.3, 3, 0),
            _ => (-1.2, look.Length + 1.2, 6, 0),
        };
        var scale = bitmap.Width / (to - from);
        var (middle, grain) = (bitmap.Height * 0.46, new Noise(99));
        BatRenderer.Fill(bitmap, (px, py) =>
        {
            var (z, y) = (from + (px + 0.5) / scale, (py + 0.5 - middle) / scale);
            var ground = Studio.Ground(px / (double)bitmap.Width, py / (double)bitmap.Height, grain) * (1 - 0.55f * Shadow(surface.Profile, z, y));
            var radius = surface.Profile.Radius(z);
            // The last pixel of the edge is shared between bat and ground.
            var share = (float)Math.Clamp((radius - Math.Abs(y)) * scale + 0.5, 0, 1) * EndShare(z, look.Length, scale);
            return share <= 0 ? ground : ground.Towards(Bat(surface, z, y, radius, roll + turn), share);
        });
        return (scale, inches);
    }

    static float EndShare(double z, double length, double scale) => (float)Math.Clamp(Math.Min(z, length - z) * scale + 0.5, 0, 1);

    static Light Bat(BatSurface surface, double z, double y, double radius, double facing)
    {
        var across = Math.Clamp(y / radius, -0.999, 0.999);
        var angle = facing + Math.Asin(across) * (180 / Math.PI);
        // The surface leans along the bat where its radius changes.
        var slope = (surface.Profile.Radius(z + 0.02) - surface.Profile.Radius(z - 0.02)) / 0.04;
        if (double.IsNaN(slope) || Math.Abs(slope) > 4) slope = Math.CopySign(4, slope);
        var size = Math.Sqrt(1 + slope * slope);
        return Studio.Lit(surface.Side(Math.Clamp(z, 0, surface.Profile.Length), angle), -slope / size, across / size, Math.Sqrt(1 - across * across) / size);
    }

    /// <summary>A soft shadow thrown a little down the table: 0 none, 1 full.</summary>
    static float Shadow(BatProfile profile, double z, double y)
    {
        var inside = Math.Clamp(z - 0.1, 0.4, profile.Length - 0.4);
        // Averaged over some length, as a broad lamp does; the knob's step would otherwise throw a hard one.
        var radius = (profile.Radius(inside - 0.3) + 2 * profile.Radius(inside) + profile.Radius(inside + 0.3)) / 4;
        var below = Math.Max(0, Math.Abs(y - 0.42 * radius - 0.08) - radius * 0.9);
        var beyond = Math.Abs(z - 0.1 - inside);
        var away = Math.Sqrt(below * below + beyond * beyond);
        return Shape.Step(0.95, -0.15, away);
    }
}
