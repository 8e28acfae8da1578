using System.Globalization;
using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Accounts;
using Custody.Server.Cosigning;
using Custody.Server.Web;
using Custody.Transparency;
using Microsoft.AspNetCore.Mvc;
using Wolverine.Http;

namespace Custody.Server.Log;

/// <summary>That a leaf is in the tree of a signed size.</summary>
/// <param name="Proof">Hashes from the leaf's sibling up (RFC 9162 section 2.1.3.1), standard base64 as the other hashes here.</param>
public sealed record InclusionAnswered(long Index, long Size, string Root, string Leaf, IReadOnlyList<string> Proof);

/// <summary>That the tree of a signed size begins with the tree of an earlier one.</summary>
/// <param name="Proof">Hashes as RFC 9162 section 2.1.4.1 gives them, standard base64; empty from size 0.</param>
public sealed record ConsistencyAnswered(long From, long To, IReadOnlyList<string> Proof);

/// <summary>What anybody may ask of the log, without an account: checkpoints, proofs, and the head of a stream whose name the asker knows.
/// A stream's name is 128 random bits: whoever has it was given a dossier.</summary>
[Anybody]
public static class LogApi
{
    const int MostListed = 1000;

    /// <summary>Checkpoints ever signed, the newest first; <c>below</c> asks for those before a size.</summary>
    [WolverineGet("/log/checkpoints")]
    [ProducesResponseType<CheckpointListed[]>(StatusCodes.Status200OK), Refuses(400)]
    public static async Task<IResult> Checkpoints(long? below, Checkpoints checkpoints, CancellationToken ct) =>
        Results.Json(await checkpoints.List(below ?? long.MaxValue, MostListed, ct), JsonText.Options);

    /// <summary>The checkpoint signed at a size, with the cosignatures it has got so far.</summary>
    [WolverineGet("/log/checkpoints/{size}")]
    public static IResult Checkpoint(long size, Checkpoints checkpoints, Cosigners cosigners, HttpContext http) =>
        LogFiles.Note(http, checkpoints.FileAt(size) is { } note ? cosigners.NoteAt(size) ?? note : null);

    /// <summary>Proof that a leaf is in the tree of a signed size, the newest when none is asked for.</summary>
    [WolverineGet("/log/inclusion/{index}")]
    [ProducesResponseType<InclusionAnswered>(StatusCodes.Status200OK)]
    public static IResult Inclusion(long index, long? size, Checkpoints checkpoints, TileFolder tiles)
    {
        if (Signed(checkpoints, size) is not { } at || index < 0 || index >= at.Size) return NoLeaf;
        var hashes = tiles.Hashes(at.Size);
        return Results.Json(
            new InclusionAnswered(index, at.Size, at.Root.Standard, hashes(0, index).Standard, Texts(Merkle.InclusionProof(index, at.Size, hashes))), JsonText.Options);
    }

    /// <summary>Proof that the tree of a signed size begins with the tree of another.</summary>
    [WolverineGet("/log/consistency/{from}/{to}")]
    [ProducesResponseType<ConsistencyAnswered>(StatusCodes.Status200OK)]
    public static IResult Consistency(long from, long to, Checkpoints checkpoints, TileFolder tiles) =>
        from >= 0 && Signed(checkpoints, to) is { } at && from <= at.Size
            ? Results.Json(new ConsistencyAnswered(from, at.Size, Texts(Merkle.ConsistencyProof(from, at.Size, tiles.Hashes(at.Size)))), JsonText.Options)
            : NoLeaf;

    /// <summary>The tlog-proof of a leaf (c2sp.org/tlog-proof) under the newest checkpoint, as a file.</summary>
    [WolverineGet("/log/proofs/{index}")]
    public static IResult Proof(long index, Checkpoints checkpoints, Cosigners cosigners, TileFolder tiles)
    {
        if (LogFiles.Newest(checkpoints, cosigners) is not { } note || Transparency.Checkpoint.Read(SignedNote.Parse(note)) is var at && (index < 0 || index >= at.Size)) return NoLeaf;
        return Download(new TlogProof(index, Merkle.InclusionProof(index, at.Size, tiles.Hashes(at.Size)), note));
    }

    /// <summary>The tlog-proof of one entry of a stream under the newest checkpoint, as a file.</summary>
    [WolverineGet("/log/proofs/{kind}/{id}/{n}")]
    public static async Task<IResult> ProofOfEntry(string kind, string id, long n, Leaves leaves, Checkpoints checkpoints, Cosigners cosigners, TileFolder tiles, CancellationToken ct) =>
        StreamName.TryParse($"{kind}/{id}", out var stream) && await leaves.IndexOf(stream.ToString(), n, ct) is { } index ? Proof(index, checkpoints, cosigners, tiles) : NoLeaf;

    /// <summary>The signed head of a stream under the newest checkpoint.</summary>
    [WolverineGet("/log/heads/{kind}/{id}")]
    public static async Task<IResult> Head(string kind, string id, LogDesk desk, HttpContext http) =>
        await HeadNow(kind, id, desk, http.RequestAborted) is { } head ? LogFiles.Note(http, head) : NoLeaf;

    /// <summary>What the ledger has recorded since a dossier that ends with entry <c>n</c>, whose hash is <c>hash</c> (43 characters base64url).</summary>
    [WolverineGet("/log/later/{kind}/{id}/{n}/{hash}")]
    [ProducesResponseType<LaterThan>(StatusCodes.Status200OK)]
    public static async Task<IResult> Later(string kind, string id, long n, string hash, LogDesk desk, HttpContext http)
    {
        if (n < 1 || !Hash.TryParse(hash, out var entry)) return NoLeaf;
        http.Response.Headers.CacheControl = "no-store";
        return StreamName.TryParse($"{kind}/{id}", out var stream) && await desk.LaterThan(stream.ToString(), n, entry, http.RequestAborted) is { } later
            ? Results.Json(later, JsonText.Options)
            : NoLeaf;
    }

    static async Task<byte[]?> HeadNow(string kind, string id, LogDesk desk, CancellationToken ct)
    {
        if (!StreamName.TryParse($"{kind}/{id}", out var stream) || await desk.Newest(ct) is not { } at || !await desk.Covers(stream.ToString(), at, ct)) return null;
        return System.Text.Encoding.UTF8.GetBytes(await desk.HeadOf(stream.ToString(), at, ct));
    }

    /// <summary>The checkpoint of a size that was signed; a proof under any other size would lead to a root that nobody vouches for.</summary>
    static Checkpoint? Signed(Checkpoints checkpoints, long? size) =>
        (size is { } asked ? checkpoints.FileAt(asked) : checkpoints.NewestFile()) is { } note ? Transparency.Checkpoint.Read(SignedNote.Parse(note)) : null;

    static IResult Download(TlogProof proof) => Results.Bytes(
        proof.ToArray(), "text/plain; charset=utf-8", string.Create(CultureInfo.InvariantCulture, $"{proof.Index}.tlog-proof"));

    static IReadOnlyList<string> Texts(Hash[] hashes) => [.. hashes.Select(h => h.Standard)];

    static IResult NoLeaf => Problems.NotInLog();
}
