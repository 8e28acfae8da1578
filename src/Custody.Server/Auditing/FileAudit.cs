using System.Globalization;
using Custody.Server.Photographs;
using Custody.Transparency;

namespace Custody.Server.Auditing;

/// <summary>The released photographs that entries name are kept, and are still those: each file's hash is taken again.</summary>
sealed class FileAudit(PictureStores stores, Findings findings, IProgress<string> progress)
{
    public async Task<long> Photographs(PictureNames named, CancellationToken ct)
    {
        var looked = 0L;
        foreach (var (hash, row) in named.All)
        {
            var where = $"photograph {hash.Hex}, first named by {row.Where}";
            if (!await IsKept(hash, where, ct)) findings.Fault("photograph-missing", where, "no file is kept under this hash.");
            if (++looked % 500 == 0) progress.Report(string.Create(CultureInfo.InvariantCulture, $"photographs: {looked}"));
        }
        return looked;
    }

    /// <summary>A document or original picture that a withheld value names. It need not be kept here: papers are hashed wherever they lie.</summary>
    public async Task Paper(Hash hash, string where, CancellationToken ct)
    {
        foreach (var (store, altered) in new[] { (stores.Documents, "document-altered"), (stores.Originals, "original-altered") })
        {
            try
            {
                var name = ContentHash.FromDigest(hash.ToArray());
                if (await store.Read(name, ct) is not null || await store.WasErased(name, ct)) return;
            }
            catch (PictureDamagedException damaged)
            {
                findings.Fault(altered, where, damaged.Message);
                return;
            }
        }
        findings.Remark("file-elsewhere", where, "the file it names is not kept here.");
    }

    async Task<bool> IsKept(Hash hash, string where, CancellationToken ct)
    {
        await using var file = await stores.Released.Open(ContentHash.FromDigest(hash.ToArray()), verify: true, ct);
        if (file is null) return false;
        try
        {
            await file.CopyToAsync(Stream.Null, ct);
        }
        catch (PictureDamagedException damaged)
        {
            findings.Fault("photograph-altered", where, damaged.Message);
        }
        return true;
    }
}
