using System.Runtime.InteropServices;
using SkiaSharp;

namespace Custody.Server.Operating.DemoPictures;

/// <summary>
/// Draws studio photographs of invented bats for the demonstration: every pixel is computed from the look and the view, so the
/// same call gives the same bytes on one machine and no picture of a real thing is needed.
/// </summary>
public static class BatRenderer
{
    public const int Width = 1200;
    public const int Height = 800;

    /// <summary>Draws one view as a JPEG, three wide to two high.</summary>
    /// <param name="roll">Side views: the angle that faces the camera, degrees clockwise seen from the knob; 0 the brand. The grain view adds a
    /// quarter turn of its own.</param>
    /// <param name="camera">Set: written into the file as Exif, as a camera would.</param>
    /// <param name="width">Pixels across; the time it takes grows with its square.</param>
    public static byte[] Draw(BatLook look, BatView view, double roll = 0, DemoCamera? camera = null, int width = Width)
    {
        var surface = new BatSurface(look);
        var height = width * Height / Width;
        using var bitmap = new SKBitmap(width, height, SKColorType.Rgba8888, SKAlphaType.Opaque);
        var (scale, inches) = view is BatView.Knob or BatView.BarrelEnd
          ? EndView.Paint(bitmap, surface, look, view == BatView.Knob)
          : SideView.Paint(bitmap, surface, look, view, roll);
        using (var canvas = new SKCanvas(bitmap)) Studio.Furnish(canvas, width, height, scale, inches, "INVENTED BAT, DRAWN FOR A DEMONSTRATION");
        using var data = bitmap.Encode(SKEncodedImageFormat.Jpeg, 88);
        return camera is null ? data.ToArray() : DemoExif.Into(data.ToArray(), camera);
    }

    /// <summary>Fills a bitmap row by row on all cores; each pixel depends on nothing but its place.</summary>
    internal static void Fill(SKBitmap bitmap, Func<int, int, Light> colour)
    {
        var (stride, width) = (bitmap.RowBytes, bitmap.Width);
        var pixels = new byte[stride * bitmap.Height];
        Parallel.For(0, bitmap.Height, y =>
        {
            for (var x = 0; x < width; x++) colour(x, y).Write(pixels.AsSpan(y * stride + x * 4, 4));
        });
        Marshal.Copy(pixels, 0, bitmap.GetPixels(), pixels.Length);
    }
}
