using System.Globalization;
using System.Text.Json.Nodes;
using SkiaSharp;

namespace Custody.Server.Operating.Demo;

/// <summary>Draws the picture that a line of the story asks for.</summary>
static class DemoDrawing
{
    public static byte[] Draw(JsonObject asked, string where)
    {
        var seed = asked.ToJsonString();
        using var surface = SKSurface.Create(new SKImageInfo(480, 320));
        surface.Canvas.Clear(new SKColor(236, 232, 224));
        using var paint = new SKPaint { Color = new SKColor(180, 130, 80), IsAntialias = true };
        surface.Canvas.DrawRoundRect(20, 130, 440, 60, 30, 30, paint);
        var x = 40;
        paint.Color = new SKColor(120, 80, 40);
        foreach (var c in seed) surface.Canvas.DrawLine(x, 130 + c % 50, x += 3, 135 + c % 50, paint);
        using var image = surface.Snapshot();
        using var data = image.Encode(SKEncodedImageFormat.Jpeg, 85);
        return data.ToArray();
    }
}
