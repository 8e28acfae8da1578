using SkiaSharp;
using ZXing;
using ZXing.Common;
using ZXing.QrCode;

namespace Custody.Server.Tests.Labels;

/// <summary>Reads QR codes from pictures with ZXing, and does to pictures what life does to labels.</summary>
static class CodeReader
{
    public static Result? Read(SKBitmap picture) => Decode(picture, DecodeHintType.TRY_HARDER);

    /// <summary>As a telephone reads: it sees many frames a second, each a little different, and one that is read is enough. Eight at most here.</summary>
    public static Result? ReadFrames(SKBitmap picture) => Read(picture) ?? Read(Blurred(picture, 1)) ?? Read(Blurred(picture, 2))
      ?? new float[] { 3, -7, 1.5f, 11, -4 }.Select(degrees => Read(Turned(picture, degrees))).FirstOrDefault(read => read is not null);

    /// <summary>For clean square modules: no search for patterns, so what is tested is the symbol's own correction, not a reader's eyes.</summary>
    public static Result? ReadExact(SKBitmap picture) => Decode(picture, DecodeHintType.PURE_BARCODE);

    static Result? Decode(SKBitmap picture, DecodeHintType hint)
    {
        var source = new RGBLuminanceSource(Grey(picture), picture.Width, picture.Height, RGBLuminanceSource.BitmapFormat.Gray8);
        return new QRCodeReader().decode(new BinaryBitmap(new HybridBinarizer(source)), new Dictionary<DecodeHintType, object> { [hint] = true });
    }

    /// <summary>One byte a pixel, row by row. Every picture here is grey, so any channel will do.</summary>
    public static byte[] Grey(SKBitmap picture)
    {
        var bytes = picture.GetPixelSpan();
        var step = picture.BytesPerPixel;
        var grey = new byte[picture.Width * picture.Height];
        for (var y = 0; y < picture.Height; y++)
        {
            for (var x = 0; x < picture.Width; x++) grey[y * picture.Width + x] = bytes[y * picture.RowBytes + x * step];
        }
        return grey;
    }

    /// <summary>A part of a picture, in pixels.</summary>
    public static SKBitmap Crop(SKBitmap picture, double x, double y, double width, double height) =>
      Redraw((int)width, (int)height, canvas => Draw(canvas, picture, (float)-x, (float)-y));

    public static SKBitmap Turned(SKBitmap picture, float degrees)
    {
        var side = (int)Math.Ceiling(Math.Sqrt(picture.Width * picture.Width + picture.Height * picture.Height));
        return Redraw(side, side, canvas =>
        {
            canvas.Translate(side / 2f, side / 2f);
            canvas.RotateDegrees(degrees);
            Draw(canvas, picture, -picture.Width / 2f, -picture.Height / 2f);
        });
    }

    /// <param name="sigma">Of the Gaussian, pixels.</param>
    public static SKBitmap Blurred(SKBitmap picture, float sigma)
    {
        using var blur = SKImageFilter.CreateBlur(sigma, sigma);
        using var paint = new SKPaint { ImageFilter = blur };
        return Redraw(picture.Width, picture.Height, canvas => Draw(canvas, picture, 0, 0, paint));
    }

    public static SKBitmap Covered(SKBitmap picture, double x, double y, double width, double height, SKColor colour) =>
      Redraw(picture.Width, picture.Height, canvas =>
      {
          Draw(canvas, picture, 0, 0);
          using var paint = new SKPaint { Color = colour, IsAntialias = false };
          canvas.DrawRect((float)x, (float)y, (float)width, (float)height, paint);
      });

    static void Draw(SKCanvas canvas, SKBitmap picture, float x, float y, SKPaint? paint = null)
    {
        using var image = SKImage.FromBitmap(picture);
        canvas.DrawImage(image, x, y, new SKSamplingOptions(SKFilterMode.Linear), paint);
    }

    static SKBitmap Redraw(int width, int height, Action<SKCanvas> draw)
    {
        var bitmap = new SKBitmap(width, height);
        using var canvas = new SKCanvas(bitmap);
        canvas.Clear(SKColors.White);
        draw(canvas);
        return bitmap;
    }
}
