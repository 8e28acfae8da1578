namespace Custody.Server.Operating.DemoPictures;

/// <summary>Half the bat's thickness along its axis, inches from the knob's outer face: a smooth curve through a dozen points.</summary>
sealed class BatProfile
{
    readonly double[] at;
    readonly double[] radius;

    public double Length { get; }
    public double KnobRadius { get; }
    public double BarrelRadius { get; }

    public BatProfile(BatLook look)
    {
        Length = look.Length;
        BarrelRadius = look.Diameter / 2;
        var handle = look.HandleDiameter / 2;
        KnobRadius = handle + 0.46;
        var l = Length;
        at = [0, 0.04, 0.16, 0.42, 0.62, 0.84, 1.2, 1.8, l * 0.18, l * 0.34, l * 0.48, l * 0.6, l * 0.72, l * 0.84, l * 0.93, l - 0.45, l - 0.16, l - 0.04, l];
        radius = [KnobRadius * 0.8, KnobRadius * 0.91, KnobRadius * 0.985, KnobRadius, KnobRadius * 0.95, KnobRadius * 0.8, handle * 1.14, handle * 1.02, handle,
      handle * 1.1, handle * 1.36, BarrelRadius * 0.78, BarrelRadius * 0.91, BarrelRadius * 0.985, BarrelRadius, BarrelRadius * 0.985, BarrelRadius * 0.92, BarrelRadius * 0.84, BarrelRadius * 0.78];
    }

    /// <summary>Radius at z, 0 outside the bat. Between two points a cubic with the slopes of its neighbours (Hermite).</summary>
    public double Radius(double z)
    {
        if (z < 0 || z > Length) return 0;
        var i = 1;
        while (i < at.Length - 1 && at[i] < z) i++;
        var (z0, z1, r0, r1) = (at[i - 1], at[i], radius[i - 1], radius[i]);
        var (h, t) = (z1 - z0, (z - z0) / (z1 - z0));
        var (m0, m1) = (Slope(i - 1) * h, Slope(i) * h);
        var (t2, t3) = (t * t, t * t * t);
        return (2 * t3 - 3 * t2 + 1) * r0 + (t3 - 2 * t2 + t) * m0 + (3 * t2 - 2 * t3) * r1 + (t3 - t2) * m1;
    }

    double Slope(int i)
    {
        if (i == 0 || i == at.Length - 1) return 0;
        var (left, right) = ((radius[i] - radius[i - 1]) / (at[i] - at[i - 1]), (radius[i + 1] - radius[i]) / (at[i + 1] - at[i]));
        // The harmonic mean of the two sides, and flat at a turning point: smooth, with no bulge between points (Fritsch and Butland 1984).
        return left * right <= 0 ? 0 : 2 * left * right / (left + right);
    }
}
