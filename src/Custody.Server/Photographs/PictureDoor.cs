namespace Custody.Server.Photographs;

/// <summary>A picture that was taken in. Both files are stored before this is returned.</summary>
/// <param name="Original">SHA-256 of the bytes exactly as received.</param>
/// <param name="Released">SHA-256 of the JPEG copy without metadata.</param>
/// <param name="Width">Pixels across, as the picture is meant to be seen (after turning).</param>
/// <param name="Height">Pixels down.</param>
/// <param name="Length">Bytes of the original.</param>
/// <param name="Notes">Oddities that did not matter, in plain words.</param>
public sealed record PictureReceived(
  ContentHash Original, FileKind Format, int Width, int Height, long Length, StatedByFile Stated, ContentHash Released, IReadOnlyList<string> Notes);

/// <summary>Exactly one of the two is set.</summary>
public sealed record PictureAnswer(PictureReceived? Accepted, FileRefusal? Refused);

/// <summary>
/// Where pictures come in. Everything is checked in memory and only then stored, so a refusal leaves nothing anywhere.
/// </summary>
public sealed class PictureDoor(PictureStores stores, Decoder decoder, PhotographOptions options)
{
    /// <summary>As below, of a file that concerns nobody in particular.</summary>
    public Task<PictureAnswer> Receive(Stream content, string? declaredName, string? declaredType, CancellationToken ct = default) =>
      Receive(content, declaredName, declaredType, null, ct);

    /// <summary>Receives one picture.</summary>
    /// <param name="content">Read once, forward, while one of few decoding places is held: hand over a stream that has already arrived
    /// (a form file), not a slow connection.</param>
    /// <param name="declaredName">The sender's file name; only its ending is looked at.</param>
    /// <param name="declaredType">The sender's media type; may be null.</param>
    /// <param name="concerns">The party whom it concerns and with whose key it goes; null gives the file a key of its own.</param>
    public Task<PictureAnswer> Receive(Stream content, string? declaredName, string? declaredType, string? concerns, CancellationToken ct = default) =>
      decoder.InTurn(async () =>
      {
          var (bytes, refusal) = await Arrival.Read(content, options.MaxPictureBytes, ct);
          var kind = bytes is null ? FileKind.Unknown : Sniff.Kind(bytes);
          refusal ??= Judge(kind, Sniff.Claimed(declaredName, declaredType));
          return refusal is null ? await TakeIn(bytes!, kind, concerns, ct) : new PictureAnswer(null, refusal);
      }, ct);

    static FileRefusal? Judge(FileKind kind, FileKind claimed) => kind switch
    {
        FileKind.Unknown or FileKind.Text or FileKind.Xml => new(FileRefusal.NotAPicture,
          $"The file is {Sniff.Words(kind)}, not a picture.", "Send a JPEG, PNG, WebP or HEIC picture."),
        _ when claimed != FileKind.Unknown && claimed != kind => new(FileRefusal.Mislabelled,
          $"The file is named as {Sniff.Words(claimed)} but is {Sniff.Words(kind)}.", "Give the file the ending that fits it, or send the picture that was meant."),
        FileKind.Jpeg or FileKind.Png or FileKind.WebP or FileKind.Heic => null,
        _ => new(FileRefusal.FormatNotAccepted, $"The file is {Sniff.Words(kind)}, which is not taken here.", "Export it as JPEG, PNG, WebP or HEIC."),
    };

    async Task<PictureAnswer> TakeIn(byte[] bytes, FileKind kind, string? concerns, CancellationToken ct)
    {
        var (picture, refusal, notes) = Decoder.Decode(bytes, kind);
        if (picture is null) return new(null, refusal);
        using (picture)
        {
            byte[] released = [];
            // Turning and converting can still meet the memory limit.
            if (Decoder.Try(() => { released = ReleasedCopy.Make(picture); return null; }) is { } tooMuch) return new(null, tooMuch);
            var (stated, note) = StatedByFile.Read(bytes);
            // A crash between the two leaves a file that no entry names: harmless, and the same upload finds it there.
            if (await stores.Originals.Put(bytes, concerns, ct) is not { } original) return new(null, FileRefusal.Gone(concerns));
            var copy = await stores.Released.Put(released, ct);
            return new(new(original, kind, (int)picture.Width, (int)picture.Height, bytes.Length, stated, copy,
              note is null ? notes : [.. notes, note]), null);
        }
    }
}
