namespace Custody.Server.Photographs;

/// <summary>A document that was taken in and stored.</summary>
/// <param name="Hash">SHA-256 of the bytes exactly as received.</param>
/// <param name="Length">Bytes.</param>
public sealed record DocumentReceived(ContentHash Hash, FileKind Format, long Length);

/// <summary>Exactly one of the two is set.</summary>
public sealed record DocumentAnswer(DocumentReceived? Accepted, FileRefusal? Refused);

/// <summary>
/// Where papers come in: PDF, plain text, and JPEG or PNG scans. They are kept as received and never rendered here: a PDF is looked at for
/// its beginning and end only, and is handed out as a download.
/// </summary>
public sealed class DocumentDoor(PictureStores stores, Decoder decoder, PhotographOptions options)
{
    /// <summary>As below, of a file that concerns nobody in particular.</summary>
    public Task<DocumentAnswer> Receive(Stream content, string? declaredName, string? declaredType, CancellationToken ct = default) =>
      Receive(content, declaredName, declaredType, null, ct);

    /// <summary>Receives one document; parameters as <see cref="PictureDoor.Receive(Stream, string?, string?, string?, CancellationToken)"/>.</summary>
    public Task<DocumentAnswer> Receive(Stream content, string? declaredName, string? declaredType, string? concerns, CancellationToken ct = default) =>
      decoder.InTurn(async () =>
      {
          var (bytes, refusal) = await Arrival.Read(content, options.MaxDocumentBytes, ct);
          var kind = bytes is null ? FileKind.Unknown : Sniff.Kind(bytes);
          refusal ??= Judge(kind, Sniff.Claimed(declaredName, declaredType)) ?? Whole(bytes!, kind);
          if (refusal is not null) return new DocumentAnswer(null, refusal);
          return await stores.Documents.Put(bytes!, concerns, ct) is { } hash
            ? new DocumentAnswer(new(hash, kind, bytes!.Length), null)
            : new DocumentAnswer(null, FileRefusal.Gone(concerns));
      }, ct);

    static FileRefusal? Judge(FileKind kind, FileKind claimed) => kind switch
    {
        FileKind.Unknown => new(FileRefusal.NotADocument, "The file is of no known kind.", "Send a PDF, plain text (UTF-8), or a JPEG or PNG scan."),
        _ when claimed != FileKind.Unknown && claimed != kind => new(FileRefusal.Mislabelled,
          $"The file is named as {Sniff.Words(claimed)} but is {Sniff.Words(kind)}.", "Give the file the ending that fits it, or send the document that was meant."),
        FileKind.Pdf or FileKind.Text or FileKind.Jpeg or FileKind.Png => null,
        _ => new(FileRefusal.FormatNotAccepted, $"The file is {Sniff.Words(kind)}, which is not taken here.",
          "Export it as PDF, plain text, JPEG or PNG."),
    };

    static FileRefusal? Whole(byte[] bytes, FileKind kind)
    {
        if (kind == FileKind.Text) return null;
        // ISO 32000 7.5.5: the last line is %%EOF; readers accept it within the last 1,024 bytes.
        if (kind == FileKind.Pdf)
            return bytes.AsSpan(Math.Max(0, bytes.Length - 1024)).IndexOf("%%EOF"u8) >= 0 ? null : FileRefusal.Cut("a PDF without its end mark");
        var (picture, refusal, _) = Decoder.Decode(bytes, kind);
        picture?.Dispose();
        return refusal;
    }
}
