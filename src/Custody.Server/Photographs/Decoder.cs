using ImageMagick;

namespace Custody.Server.Photographs;

/// <summary>
/// The one place where pictures from strangers are decoded. The format is always ours, never the file's or the sender's word: the
/// library underneath also understands scripts, addresses and file names, and must never be given one.
/// </summary>
public sealed class Decoder : IDisposable
{
    /// <summary>Longest side accepted, in pixels.</summary>
    public const int MaxSide = 12_000;

    /// <summary>Most pixels accepted. Turning a picture upright holds it twice: 2 x 3 bytes x 80 million fits in 512 MiB, more would
    /// be accepted lying and refused standing.</summary>
    public const long MaxPixels = 80_000_000;

    const ulong BytesPerDecoding = 512UL * 1_048_576;

    readonly SemaphoreSlim gate;

    /// <summary>Sets the library's limits, which hold for the whole process; memory is shared by all decodings, so it grows with
    /// their number and no picture is refused because of its neighbour.</summary>
    public Decoder(int concurrent = 1)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(concurrent, 1);
        gate = new SemaphoreSlim(concurrent);
        ResourceLimits.Width = MaxSide;
        ResourceLimits.Height = MaxSide;
        ResourceLimits.Area = 100_000_000;
        ResourceLimits.Memory = BytesPerDecoding * (ulong)concurrent;
        // Never spill to disk: a refused file must leave nothing.
        ResourceLimits.Disk = 0;
        // 1 would refuse every file.
        ResourceLimits.ListLength = 2;
    }

    public void Dispose() => gate.Dispose();

    /// <summary>Waits for a place, then runs the work. Reading a stream to memory belongs inside, so memory is bounded too.</summary>
    internal async Task<T> InTurn<T>(Func<Task<T>> work, CancellationToken ct)
    {
        await gate.WaitAsync(ct);
        try
        {
            return await work();
        }
        finally
        {
            gate.Release();
        }
    }

    /// <summary>Decodes one picture of a sniffed kind; the caller disposes it. Call inside <see cref="InTurn{T}"/>.</summary>
    internal static (MagickImage? Picture, FileRefusal? Refusal, IReadOnlyList<string> Notes) Decode(byte[] bytes, FileKind kind)
    {
        if (WholeFile.Check(kind, bytes) is { } broken) return (null, broken, []);
        var warnings = new List<MagickWarningException>();
        var picture = new MagickImage();
        picture.Warning += (_, said) => warnings.Add(said.Exception as MagickWarningException ?? new MagickWarningException(said.Message));
        var refusal = Frames(bytes, kind) ?? Read(picture, bytes, kind) ?? warnings.Select(Judge).FirstOrDefault(r => r is not null);
        if (refusal is null) return (picture, null, [.. warnings.Select(w => Plain(w.Message)).Distinct()]);
        picture.Dispose();
        return (null, refusal, []);
    }

    /// <summary>Reads headers only: a small file that announces a huge picture ends here, before memory is taken.</summary>
    static FileRefusal? Frames(byte[] bytes, FileKind kind) => Try(() =>
    {
        using var all = new MagickImageCollection();
        all.Ping(bytes, Settings(kind));
        if (all.Count != 1) return FileRefusal.Frames();
        return TooLarge(all[0].Width, all[0].Height);
    });

    /// <summary>A refusal if the announced size, in pixels, is over the limits.</summary>
    internal static FileRefusal? TooLarge(long width, long height) => width > MaxSide || height > MaxSide || width * height > MaxPixels
      ? FileRefusal.Pixels(FormattableString.Invariant($"{width} x {height} pixels; {MaxSide} a side and {MaxPixels / 1_000_000} million in all are taken"))
      : null;

    static FileRefusal? Read(MagickImage picture, byte[] bytes, FileKind kind) => Try(() =>
    {
        picture.Read(bytes, Settings(kind));
        return null;
    });

    /// <summary>Runs work on a picture and names what the library refuses.</summary>
    internal static FileRefusal? Try(Func<FileRefusal?> work)
    {
        try
        {
            return work();
        }
        catch (MagickResourceLimitErrorException limit)
        {
            return limit.Message.Contains("ListLength", StringComparison.Ordinal)
              ? FileRefusal.Frames()
              : FileRefusal.Pixels(Plain(limit.Message));
        }
        catch (MagickCacheErrorException limit) when (limit.Message.Contains("Exhausted", StringComparison.Ordinal))
        {
            return FileRefusal.Pixels(Plain(limit.Message));
        }
        catch (MagickException failed)
        {
            return failed.Message.Contains("ExceedsLimit", StringComparison.Ordinal) ? FileRefusal.Pixels(Plain(failed.Message))
              : CutShort(failed.Message) ? FileRefusal.Cut(Plain(failed.Message))
              : FileRefusal.Undecodable(Plain(failed.Message));
        }
    }

    /// <summary>A decoder that warns has shown what it could. Missing or wrong picture data refuses the file; oddities around the picture
    /// (padding between markers, an odd colour profile) are common in genuine cameras' files and become notes.</summary>
    static FileRefusal? Judge(MagickWarningException warning)
    {
        if (warning is not MagickCorruptImageWarningException || warning.Message.Contains("extraneous bytes", StringComparison.Ordinal)) return null;
        return CutShort(warning.Message) ? FileRefusal.Cut(Plain(warning.Message)) : FileRefusal.Broken(Plain(warning.Message));
    }

    static bool CutShort(string message) => CutShortWords.Any(w => message.Contains(w, StringComparison.OrdinalIgnoreCase));

    static readonly string[] CutShortWords =
      ["premature end", "unexpected end", "end of file", "endoffile", "not enough data", "insufficient image data", "too short", "truncated"];

    /// <summary>The library's sentence without its own source positions; only printable ASCII, so that nothing from the file gets through.</summary>
    static string Plain(string message)
    {
        var end = message.IndexOf(" @ ", StringComparison.Ordinal);
        var text = new string([.. (end < 0 ? message : message[..end]).Where(c => c is >= ' ' and < '\u007F' and not '`' and not '\'')]).Trim();
        return text.Length > 120 ? text[..120] : text;
    }

    static MagickReadSettings Settings(FileKind kind) => new()
    {
        Format = kind switch
        {
            FileKind.Jpeg => MagickFormat.Jpeg,
            FileKind.Png => MagickFormat.Png,
            FileKind.WebP => MagickFormat.WebP,
            FileKind.Heic => MagickFormat.Heic,
            _ => throw new ArgumentOutOfRangeException(nameof(kind), kind, "Only the accepted picture kinds are ever decoded."),
        },
    };
}
