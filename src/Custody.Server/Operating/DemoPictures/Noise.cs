namespace Custody.Server.Operating.DemoPictures;

/// <summary>Smooth noise from integer hashing: the same everywhere for the same seed, with no state.</summary>
readonly struct Noise(int seed)
{
    /// <summary>-1 to 1, smooth over unit distance (lattice values joined by the cubic 3t^2 - 2t^3).</summary>
    public float At(double x, double y, double z)
    {
        var (ix, iy, iz) = ((int)Math.Floor(x), (int)Math.Floor(y), (int)Math.Floor(z));
        var (fx, fy, fz) = (Ease(x - ix), Ease(y - iy), Ease(z - iz));
        return Mix(
          Mix(Mix(Value(ix, iy, iz), Value(ix + 1, iy, iz), fx), Mix(Value(ix, iy + 1, iz), Value(ix + 1, iy + 1, iz), fx), fy),
          Mix(Mix(Value(ix, iy, iz + 1), Value(ix + 1, iy, iz + 1), fx), Mix(Value(ix, iy + 1, iz + 1), Value(ix + 1, iy + 1, iz + 1), fx), fy), fz);
    }

    /// <summary>A number from 0 up to 1 for the n-th choice.</summary>
    public double Pick(int n) => (Hash(n, 7, 13) & 0xFFFFFF) / (double)0x1000000;

    float Value(int x, int y, int z) => (Hash(x, y, z) & 0xFFFF) / 32767.5f - 1;

    uint Hash(int x, int y, int z)
    {
        unchecked
        {
            var h = (uint)(x * 374761393 + y * 668265263 + z * 1274126177 + seed * 362437);
            h = (h ^ (h >> 13)) * 1274126177;
            h = (h ^ (h >> 16)) * 2246822519;
            return h ^ (h >> 15);
        }
    }

    static float Ease(double t) => (float)(t * t * (3 - 2 * t));
    static float Mix(float a, float b, float t) => a + (b - a) * t;
}

/// <summary>Light as linear red, green, blue; 1 is white paper.</summary>
readonly record struct Light(float R, float G, float B)
{
    public static Light Of(uint rgb) => new(Linear(rgb >> 16), Linear(rgb >> 8), Linear(rgb));
    public static Light operator *(Light a, float k) => new(a.R * k, a.G * k, a.B * k);
    public static Light operator *(Light a, Light b) => new(a.R * b.R, a.G * b.G, a.B * b.B);
    public static Light operator +(Light a, Light b) => new(a.R + b.R, a.G + b.G, a.B + b.B);
    public Light Towards(Light other, float t) => this * (1 - t) + other * t;

    // Square and root in place of the sRGB curve: near enough for a drawing, and exact the same everywhere.
    static float Linear(uint channel) => (channel & 0xFF) / 255f * ((channel & 0xFF) / 255f);
    static byte Shown(float v) => (byte)(MathF.Sqrt(Math.Clamp(v, 0, 1)) * 255f + 0.5f);

    /// <summary>As bytes red, green, blue, opaque.</summary>
    public void Write(Span<byte> pixel) => (pixel[0], pixel[1], pixel[2], pixel[3]) = (Shown(R), Shown(G), Shown(B), 255);
}

static class Shape
{
    /// <summary>0 below a, 1 above b, smooth between; falls in place of rising if a is greater than b.</summary>
    public static float Step(double a, double b, double x)
    {
        var t = Math.Clamp((x - a) / (b - a), 0, 1);
        return (float)(t * t * (3 - 2 * t));
    }
}
