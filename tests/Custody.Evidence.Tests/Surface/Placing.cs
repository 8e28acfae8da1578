namespace Custody.Evidence.Tests.Surface;

/// <summary>Places and profiles by few words.</summary>
static class Placing
{
    public static Quantity In(string inches) => Quantity.Parse(inches, "[in_i]");

    static Quantity Deg(string degrees) => Quantity.Parse(degrees, "deg");

    public static Spot Point(string at, string angle, string datum = "brand") => Made(SpotForm.Point, datum, In(at), null, Deg(angle), null);

    public static Spot Band(string from, string to) => Made(SpotForm.Band, "brand", In(from), In(to), null, null);

    public static Spot Patch(string from, string to, string fromAngle, string toAngle, string datum = "brand") =>
        Made(SpotForm.Patch, datum, In(from), In(to), Deg(fromAngle), Deg(toAngle));

    static Spot Made(SpotForm form, string datum, Quantity from, Quantity? to, Quantity? fromAngle, Quantity? toAngle) =>
        Spot.TryCreate(form, datum, from, to, fromAngle, toAngle, out var spot, out var refusal) ? spot : throw new InvalidOperationException(refusal.Code);

    public static string? Refused(SpotForm form, string from, string? to, string? fromAngle, string? toAngle, string unit = "[in_i]") =>
        Spot.TryCreate(form, "brand", Quantity.Parse(from, unit), to is null ? null : In(to), fromAngle is null ? null : Deg(fromAngle),
            toAngle is null ? null : Deg(toAngle), out _, out var refusal) ? null : refusal.Code;

    public static Profile Shape(params (string At, string Round)[] girths) =>
        Profile.TryCreate([.. girths.Select(g => new Girth(In(g.At), In(g.Round)))], out var profile, out var refusal) ? profile
            : throw new InvalidOperationException(refusal.Code);
}
