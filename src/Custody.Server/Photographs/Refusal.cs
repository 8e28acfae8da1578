namespace Custody.Server.Photographs;

/// <summary>Why a file was not taken: a stable code, a sentence, and what would make it acceptable. Nothing was kept.</summary>
public sealed record FileRefusal(string Code, string Sentence, string Remedy)
{
    public const string Empty = "empty";
    public const string TooLargeBytes = "too-large-bytes";
    public const string NotAPicture = "not-a-picture";
    public const string NotADocument = "not-a-document";
    public const string FormatNotAccepted = "format-not-accepted";
    public const string Mislabelled = "mislabelled";
    public const string Truncated = "truncated";
    public const string Damaged = "damaged";
    public const string TooManyPixels = "too-many-pixels";
    public const string TooManyFrames = "too-many-frames";
    public const string DecodeFailed = "decode-failed";
    public const string PartyUnknown = "party-unknown";
    public const string FileErased = "file-erased";

    internal static FileRefusal IsEmpty() => new(Empty, "The file has no bytes.", "Send the file again.");

    internal static FileRefusal Larger(long limit) => new(TooLargeBytes,
      Invariant($"The file is larger than {limit / 1_048_576} MiB ({limit} bytes)."), "Export it smaller, or with more compression.");

    internal static FileRefusal Cut(string what) => new(Truncated,
      $"The file ends before the picture does: {what}.", "Copy it again from the camera or card; the copy was cut short.");

    internal static FileRefusal Broken(string what) => new(Damaged,
      $"The file is damaged: {what}.", "Copy it again from the camera or card, or export it anew.");

    internal static FileRefusal Undecodable(string what) => new(DecodeFailed,
      $"The file begins like a picture but cannot be read as one: {what}.", "Open it in a picture program and export it as JPEG or PNG.");

    internal static FileRefusal Frames() => new(TooManyFrames,
      "The file holds more than one picture (an animation or a burst).", "Export the one picture that is meant.");

    internal static FileRefusal Pixels(string what) => new(TooManyPixels, $"The picture is too large to open safely: {what}.",
      "Export it with fewer pixels.");

    internal static FileRefusal Gone(string? concerns) => concerns is null
      ? new(FileErased, "This file was erased here, and does not come back.", "If it is lawful to keep it again, send a new scan or copy of it.")
      : new(PartyUnknown, "The party whom the file concerns is not known here, or was erased.", "Record the party first, or say nothing of whom it concerns.");

    static string Invariant(FormattableString text) => FormattableString.Invariant(text);
}
