using Custody.Evidence;

namespace Custody.Bats;

/// <summary>What a picture of a bat shows. Parts of a bat from the hand up; common practice.</summary>
public enum BatView
{
    WholeLength,
    Knob,
    Handle,
    Throat,
    Barrel,
    Brand,
    BarrelEnd,
    Grain,
    Back,
    Marking,
    Damage,
    Detail,
    Seal,
    Packing,
    Other,
}

/// <summary>How the bat was lit.</summary>
public enum Lighting
{
    Ordinary,
    Raking,
    Ultraviolet,
    Infrared,
    Transmitted,
    Microscope,
    NotStated,
}

/// <summary>What in the picture gives its scale.</summary>
public enum ScaleShown
{
    Nothing,
    Ruler,
    Grid,
    ColourCard,
    KnownObject,
}

/// <summary>One picture to record: the released copy's hash, the original's, and what the original's own metadata states.</summary>
/// <param name="Original">SHA-256 of the original as received, 43 base64url characters.</param>
/// <param name="Area">Where on the bat, when it is a detail.</param>
/// <param name="Device">Camera, as stated by the file.</param>
/// <param name="TakenByFile">Time, as stated by the file (EDTF).</param>
public sealed record PictureOfBat(
    PictureHash Released, string? Original, BatView View, Lighting Lighting, ScaleShown Scale, SurfacePlace? Area, string? Device, Edtf? TakenByFile);

/// <summary>Record photographs of the bat.</summary>
public sealed record PhotographBat(IReadOnlyList<PictureOfBat> Pictures, PartyId? Photographer, string? Place) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
    [
        new BatPhotographed(
            people.OfMaybe(Photographer, Role.Photographer),
            Numbered.By('f', Pictures.Select(p =>
                new Photograph(p.Released, p.View, p.Lighting, p.Scale, p.Area, p.Original, p.Device, p.TakenByFile))),
            Place),
    ];
}

/// <summary>One picture: the released copy is open, the original and what its metadata says are withheld.</summary>
public sealed record Photograph(
    PictureHash Released, BatView View, Lighting Lighting, ScaleShown Scale, SurfacePlace? Area,
    Withheld<string>? Original, Withheld<string>? Device, Withheld<Edtf>? TakenByFile) : IPart;

/// <summary>The bat was photographed.</summary>
public sealed record BatPhotographed(Alias? Photographer, Keyed<Photograph> Pictures, Withheld<string>? Place) : BatFact
{
    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (Pictures.Count == 0)
            yield return new("no-pictures", "No picture is given.", "Give at least one picture.");
        if (Pictures.Values.DistinctBy(p => p.Released).Count() != Pictures.Count
            || Pictures.Values.Any(p => bat.Photographs.Recording(p.Released, bat.Corrections) is not null))
            yield return new("picture-recorded-already", "One of these pictures is recorded on this bat already.", "Record each picture once.");
        foreach (var refusal in Pictures.Values.SelectMany(p => SurfacePlace.Refuse(p.Area)).Take(1)) yield return refusal;
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Photographs = bat.Photographs with
        {
            ByEntry = bat.Photographs.ByEntry.Add(
                entry.N, new PhotographsTaken(Photographer, [.. Pictures.Values.Select(p => new Pictured(p.Released, p.View))])),
        },
    };
}
