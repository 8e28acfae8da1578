namespace Custody.Ledger;

/// <summary>Everything that goes into a dossier, as plain bytes: whoever keeps the ledger gathers it, nothing here asks a database.</summary>
/// <param name="ShortNumber">The number of the bat that people read aloud; names file and folder.</param>
/// <param name="Own">The bat's history in the ledger that hands the dossier out.</param>
/// <param name="Earlier">Histories in other ledgers it continues from, as their own dossiers carried them.</param>
/// <param name="Shown">Withheld values to show; everything else stays withheld.</param>
/// <param name="Photographs">Released copies, by the hash the entries name.</param>
/// <param name="Documents">Documents whose hash is among the values shown.</param>
public sealed record DossierRequest(
    string ShortNumber, LedgerContents Own, IReadOnlyList<LedgerContents> Earlier, IReadOnlyList<Shown> Shown,
    IReadOnlyList<DossierFile> Photographs, IReadOnlyList<DossierFile> Documents);

/// <summary>One ledger's part.</summary>
/// <param name="Origin">The ledger's name.</param>
/// <param name="History">Bytes of every entry of the bat in order of n; a line of <see cref="Gone"/> where one is gone.</param>
/// <param name="Context">Bytes of the entries it rests on, in the order of the log: the ledger's first entry, key rotations, rules adopted,
/// entries cited.</param>
/// <param name="Proofs">For every entry of both, by log index, its tlog-proof.</param>
/// <param name="Checkpoint">The signed checkpoint, byte for byte the one in the proofs.</param>
/// <param name="Head">The signed head of the bat's stream at that checkpoint.</param>
/// <param name="Timeline">Independently timed checkpoints by file name, such as <c>900.checkpoint</c>; empty when there are none.</param>
public sealed record LedgerContents(
    string Origin, IReadOnlyList<ReadOnlyMemory<byte>> History, IReadOnlyList<ReadOnlyMemory<byte>> Context,
    IReadOnlyDictionary<long, ReadOnlyMemory<byte>> Proofs, ReadOnlyMemory<byte> Checkpoint, ReadOnlyMemory<byte> Head,
    IReadOnlyDictionary<string, ReadOnlyMemory<byte>> Timeline);

/// <summary>A picture or document that is copied into the dossier as a stream.</summary>
/// <param name="Sha256">Of its bytes, 43 characters base64url.</param>
/// <param name="Extension">Without dot, lower case; for photographs <c>jpg</c>.</param>
/// <param name="Open">Opens it from its beginning; called twice and must give the same bytes.</param>
public sealed record DossierFile(string Sha256, string Extension, Func<Stream> Open);
