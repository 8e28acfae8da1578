using System.Collections.Concurrent;
using System.Globalization;
using System.Text.Json;
using System.Text.Json.Nodes;
using Custody.Bats;
using Custody.Server.Operating.DemoPictures;
using SkiaSharp;
using Drawn = Custody.Server.Operating.DemoPictures.BatView;

namespace Custody.Server.Operating.Demo;

/// <summary>Takes the pictures that the story asks for: <c>{"bat":name,"view":word}</c>, with <c>shot</c> for another one of the same view,
/// <c>with</c> for what has changed in the bat's look, <c>camera</c> for what the file says of itself. Every picture is drawn, none is a photograph
/// of a thing.</summary>
sealed class DemoStudio(IReadOnlyDictionary<string, JsonObject> looks)
{
    /// <summary>Wide enough to read a brand; a hundred pictures must not take minutes.</summary>
    const int Width = 600;

    readonly ConcurrentDictionary<string, Lazy<byte[]>> drawn = new(StringComparer.Ordinal);

    /// <summary>Begins to draw all pictures that the lines ask for, on every processor, while the story is being told.</summary>
    public Task Ahead(IEnumerable<DemoLine> lines, CancellationToken ct) => Task.Run(
        () => Parallel.ForEach(lines, new ParallelOptions { CancellationToken = ct, MaxDegreeOfParallelism = Environment.ProcessorCount }, line =>
        {
            foreach (var asked in line.Steps.SelectMany(step => AskedIn(step.Command)))
            {
                // A picture that cannot be drawn is a fault of its line: it is said when the line is told, and not before.
                try
                {
                    _ = Drawing(Bare(asked), line.Where).Value;
                }
                catch (DemoFault)
                {
                    return;
                }
            }
        }), ct);

    static IEnumerable<JsonObject> AskedIn(JsonNode? node) => node switch
    {
        JsonObject { Count: 1 } one when (one["$picture"] ?? one["$original"]) is JsonObject asked => [asked],
        JsonObject map => map.SelectMany(member => AskedIn(member.Value)),
        JsonArray list => list.SelectMany(AskedIn),
        _ => [],
    };

    Lazy<byte[]> Drawing(JsonObject bare, string where) => drawn.GetOrAdd(bare.ToJsonString(), _ => new Lazy<byte[]>(() => Draw(bare, where)));

    /// <exception cref="DemoFault">The bat has no look, or a member cannot be read.</exception>
    public byte[] Take(JsonObject asked, string where)
    {
        var camera = asked["camera"] as JsonObject;
        var bare = Bare(asked);
        // What a file says of itself is put into the finished picture: the same drawing serves with and without it.
        var jpeg = Drawing(bare, where).Value;
        return camera is null ? jpeg : DemoExif.Into(jpeg, Read<DemoCamera>(camera, where));
    }

    /// <summary>The picture asked for, whatever its file says of itself: released copies carry none of it, so one has one.</summary>
    public static JsonObject Bare(JsonObject asked)
    {
        var bare = (JsonObject)asked.DeepClone();
        bare.Remove("camera");
        return bare;
    }

    byte[] Draw(JsonObject asked, string where)
    {
        var (bat, view, shot) = ((string?)asked["bat"] ?? "", (string?)asked["view"] ?? "", (int?)asked["shot"] ?? 1);
        var look = looks.GetValueOrDefault(bat) ?? throw new DemoFault($"{where}: nothing says what {bat} looks like.");
        if (asked["with"] is JsonObject changed)
        {
            look = (JsonObject)look.DeepClone();
            foreach (var (name, value) in changed) look[name] = value?.DeepClone();
        }
        var (side, roll) = Side(view, where);
        // Nobody turns a bat to the same degree twice.
        var picture = BatRenderer.Draw(Read<BatLook>(look, where), side, roll + (3 * (shot - 1)), width: Width);
        return view == "archive" ? Printed(picture) : picture;
    }

    static (Drawn View, double Roll) Side(string view, string where) => view switch
    {
        "wholeLength" => (Drawn.Full, 0),
        "knob" => (Drawn.Knob, 0),
        "handle" => (Drawn.Handle, 0),
        "throat" => (Drawn.Full, 120),
        "barrel" => (Drawn.Brand, 180),
        "brand" => (Drawn.Brand, 0),
        "barrelEnd" => (Drawn.BarrelEnd, 0),
        "grain" => (Drawn.Grain, 0),
        "marking" => (Drawn.Handle, 60),
        "detail" => (Drawn.Handle, 150),
        "damage" => (Drawn.Handle, 205),
        "archive" => (Drawn.Brand, 188),
        _ => throw new DemoFault($"{where}: the studio takes no picture called '{view}'."),
    };

    /// <summary>As an old print shows it: grey, a little flat.</summary>
    static byte[] Printed(byte[] jpeg)
    {
        using var picture = SKBitmap.Decode(jpeg);
        using var surface = SKSurface.Create(new SKImageInfo(picture.Width, picture.Height));
        using var grey = SKColorFilter.CreateColorMatrix([0.25f, 0.5f, 0.1f, 0, 30, 0.25f, 0.5f, 0.1f, 0, 28, 0.24f, 0.48f, 0.1f, 0, 24, 0, 0, 0, 1, 0]);
        using var paint = new SKPaint { ColorFilter = grey };
        surface.Canvas.DrawBitmap(picture, 0, 0, SKSamplingOptions.Default, paint);
        using var image = surface.Snapshot();
        using var data = image.Encode(SKEncodedImageFormat.Jpeg, 80);
        return data.ToArray();
    }

    static T Read<T>(JsonObject json, string where)
    {
        var read = (JsonObject)json.DeepClone();
        if (read["rackPaint"] is JsonValue paint && paint.TryGetValue<string>(out var hex)) read["rackPaint"] = uint.Parse(hex.AsSpan(1), NumberStyles.HexNumber, CultureInfo.InvariantCulture);
        try
        {
            return read.Deserialize<T>(JsonText.Options)!;
        }
        catch (JsonException unread)
        {
            throw new DemoFault($"{where}: what the picture shows cannot be read: {unread.Message}");
        }
    }
}
