using ImageMagick;

namespace Custody.Server.Photographs;

/// <summary>
/// The copy that may leave the building: the picture as it is meant to be seen, upright, in sRGB, as a JPEG that carries nothing
/// else: no place, time, device, thumbnail, comment or colour profile.
/// </summary>
static class ReleasedCopy
{
    /// <summary>Re-encodes a decoded picture, changing it. Same picture, same bytes, on one machine and library version.</summary>
    public static byte[] Make(MagickImage picture)
    {
        // To sRGB and opaque before turning: turning holds the picture twice, so the fewest channels go into it.
        if (picture.GetColorProfile() is not null) picture.TransformColorSpace(ColorProfiles.SRGB);
        if (picture.ColorSpace is not (ColorSpace.sRGB or ColorSpace.Gray)) picture.ColorSpace = ColorSpace.sRGB;
        if (picture.HasAlpha)
        {
            picture.BackgroundColor = MagickColors.White;
            picture.Alpha(AlphaAction.Remove);
        }
        // Orientation stands in the metadata: turn first, strip after.
        picture.AutoOrient();
        picture.Strip();
        return Jpeg(picture, quality: 90);
    }

    /// <summary>JPEG with every choice fixed. Left to itself the encoder optimises its tables only while memory is free, so the same
    /// picture would get other bytes on a busy day.</summary>
    public static byte[] Jpeg(MagickImage picture, uint quality)
    {
        picture.Quality = quality;
        picture.Settings.Interlace = Interlace.NoInterlace;
        picture.Settings.SetDefine(MagickFormat.Jpeg, "optimize-coding", "true");
        picture.Settings.SetDefine(MagickFormat.Jpeg, "sampling-factor", "4:4:4");
        return picture.ToByteArray(MagickFormat.Jpeg);
    }
}
