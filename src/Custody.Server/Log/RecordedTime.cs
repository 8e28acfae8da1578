using System.Globalization;
using System.Text;

namespace Custody.Server.Log;

/// <summary>An entry's time of recording, read from its bytes without reading the entry.</summary>
static class RecordedTime
{
    /// <summary>Within so many bytes of its end an entry says when it was recorded: what follows (rules, salt, stream, type, version) is short.</summary>
    public const int Reach = 320;

    const int Length = 20;

    /// <summary>The time, or null where the bytes are no entry's.</summary>
    /// <param name="tail">The entry's bytes, or the last <see cref="Reach"/> of them.</param>
    public static DateTimeOffset? In(ReadOnlySpan<byte> tail)
    {
        // The last one is the envelope's: members stand in order, and no text after it can hold a quotation mark.
        var at = tail.LastIndexOf(",\"recorded\":\""u8);
        if (at < 0 || tail.Length < at + 13 + Length) return null;
        return DateTimeOffset.TryParseExact(Encoding.ASCII.GetString(tail.Slice(at + 13, Length)), "yyyy-MM-dd'T'HH:mm:ss'Z'",
            CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal, out var time) ? time : null;
    }
}
