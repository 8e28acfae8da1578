using System.Text;
using Custody.Ledger;
using Custody.Transparency;

namespace Custody.Server.Log;

/// <summary>How far the ledger has gone on from a dossier, by the dossier's signed head.</summary>
public static class HeadCompared
{
    /// <summary>In a sentence; for whoever has a dossier, who may know this much.</summary>
    /// <param name="said">Text of the dossier's file data/head.</param>
    /// <param name="stream">The bat it must be of; null for any.</param>
    public static async Task<string> Say(string? said, string origin, string? stream, LogDesk log, CancellationToken ct)
    {
        if (string.IsNullOrWhiteSpace(said)) return "Nothing was given. Give the file data/head of the dossier, or paste its text.";
        try
        {
            // Browsers send a form's lines with CR LF.
            var head = Head.Read(SignedNote.Parse(Encoding.UTF8.GetBytes(said.Replace("\r\n", "\n", StringComparison.Ordinal).TrimStart().TrimEnd() + "\n")));
            if (head.Origin != origin) return $"This head is of another ledger, {head.Origin}: ask there.";
            if (stream is not null && head.Stream != stream) return "This head is of another bat than this label. Keep the dossier, and compare the bat itself with both.";
            return await log.LaterThan(head.Stream, head.N, head.Entry, ct) is { } later ? later.Sentence : "This ledger has published nothing of this history yet: ask again in a moment.";
        }
        catch (Malformed malformed)
        {
            return $"This is not a dossier's head: {malformed.Sentence} Give the file data/head as it is.";
        }
    }
}
