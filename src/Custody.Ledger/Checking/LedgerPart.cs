namespace Custody.Ledger;

/// <summary>The files a dossier holds of one ledger: the history of the bat there, what it rests on, and how it is proved.</summary>
/// <param name="Folder"><c>data/</c>, or <c>data/earlier/.../</c>; ends in a slash.</param>
/// <param name="History">Bytes of <c>history.jsonl</c>; null when it is missing. The same for the others.</param>
/// <param name="Proofs">Bytes of each <c>.tlog-proof</c> by the log index that is its name.</param>
/// <param name="Timeline">Timed checkpoints by file name: <c>SIZE.checkpoint</c>, <c>SIZE.consistency</c> (to the dossier's own), <c>SIZE.tsr</c>.</param>
public sealed record LedgerPart(
    string Folder, ReadOnlyMemory<byte>? History, ReadOnlyMemory<byte>? Context, IReadOnlyDictionary<long, ReadOnlyMemory<byte>> Proofs,
    ReadOnlyMemory<byte>? Checkpoint, ReadOnlyMemory<byte>? Head, IReadOnlyDictionary<string, ReadOnlyMemory<byte>> Timeline);

/// <summary>A photograph or document in the dossier.</summary>
/// <param name="Path">Where it stands in the bag.</param>
/// <param name="Sha256">SHA-256 of its bytes, 43 characters base64url.</param>
/// <param name="IsJpeg">Whether it begins as a JPEG file does.</param>
public sealed record AttachedFile(string Path, string Sha256, bool IsJpeg);

/// <summary>A dossier as it was found: bytes, nothing believed.</summary>
/// <param name="BagFault">Why the bag is not complete and valid; null when it is.</param>
/// <param name="Parts">The bat's own history first, then those of other ledgers it continues from. Empty when nothing could be read.</param>
/// <param name="Disclosures">Bytes of <c>disclosures.json</c>; null when it is missing. The same for the three that follow.</param>
/// <param name="CallsItself">The bat's number as the bag states it, in the name of its folder and in bag-info.txt; null where they differ.</param>
public sealed record DossierContent(
    string? BagFault, IReadOnlyList<LedgerPart> Parts, ReadOnlyMemory<byte>? Disclosures, ReadOnlyMemory<byte>? Summary, ReadOnlyMemory<byte>? Page,
    ReadOnlyMemory<byte>? ReadMe, string? CallsItself, IReadOnlyList<AttachedFile> Photographs, IReadOnlyList<AttachedFile> Documents);
