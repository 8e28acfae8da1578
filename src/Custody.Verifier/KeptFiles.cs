using System.Text;
using Custody.Ledger;
using Custody.Transparency;

namespace Custody.Verifier;

/// <summary>What somebody kept of a ledger: dossiers, checkpoints, heads, and requests that a cosigner refused.</summary>
/// <param name="Keys">Keys that the dossiers' ledgers have had.</param>
/// <param name="Notes">Signed notes as text; what is none is in here too and convicts nobody.</param>
/// <param name="Refused">Requests (c2sp.org/tlog-witness, "add-checkpoint") with the consistency proof that came with them.</param>
/// <param name="Found">What convicts a ledger by one dossier alone; null when nothing does.</param>
sealed record KeptFiles(IReadOnlyList<VerifierKey> Keys, IReadOnlyList<string> Notes, IReadOnlyList<AddCheckpoint> Refused, Misconduct? Found)
{
    /// <exception cref="IOException">One cannot be read, or is longer than any such file.</exception>
    internal static KeptFiles Read(IEnumerable<string> paths)
    {
        var kept = new KeptFiles([], [], [], null);
        foreach (var path in paths)
        {
            using var file = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.Read);
            kept = DossierReader.WhyNotOne(file) is null ? kept.With(DossierReader.Read(file)) : kept.With(Bytes(path, SignedNote.MaxBytes));
        }
        return kept;
    }

    KeptFiles With(DossierContent dossier)
    {
        var (keys, notes) = MisconductSearch.In(dossier);
        return this with { Keys = [.. Keys, .. keys], Notes = [.. Notes, .. notes], Found = Found ?? MisconductSearch.Within(dossier) };
    }

    KeptFiles With(byte[] file)
    {
        try
        {
            if (file.AsSpan().StartsWith("old "u8) && AddCheckpoint.Parse(file) is { } request)
                return this with { Refused = [.. Refused, request], Notes = [.. Notes, Encoding.UTF8.GetString(request.Checkpoint.ToArray())] };
        }
        catch (Malformed)
        {
            // Looked at as a note below, where it says nothing either.
        }
        return this with { Notes = [.. Notes, Encoding.UTF8.GetString(file)] };
    }

    internal static byte[] Bytes(string path, int most)
    {
        using var file = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.Read);
        if (file.Length > most) throw new IOException($"{path} is longer than any such file can be.");
        var bytes = new byte[file.Length];
        file.ReadExactly(bytes);
        return bytes;
    }
}
