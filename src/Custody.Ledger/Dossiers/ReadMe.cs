using System.Text;

namespace Custody.Ledger;

/// <summary>The file <c>READ-ME.txt</c>, the same in every dossier.</summary>
static class ReadMe
{
    /// <summary>Stands in the first line. A changed text is a new version: a checker compares only the one it knows.</summary>
    internal const string Version = "custody-read-me/1";

    internal static byte[] Bytes { get; } = Encoding.UTF8.GetBytes(Write());

    static string Write()
    {
        var text = new StringBuilder();
        text.Append(Version).Append("\n\n").Append("""
            This folder is the recorded history of one baseball bat: who recorded what, when, and what was said about it.

            To read it:   open data/history.html.
            To check it:  use a checker of such dossiers, custody-verify.
                          Get the checker elsewhere, never from whoever hands you this.
                          Get the ledger's key elsewhere too, and give it to the checker.

            The page and the summary are made from data/history.jsonl; that file, the proofs beside it and the signed checkpoint are what counts.
            What is withheld is listed by name of the field. It can be shown later, and then it can be checked against this history.


            """.ReplaceLineEndings("\n"));
        foreach (var caution in Cautions.Said) text.Append("- ").Append(caution).Append('\n');
        text.Append("\nBefore you pay:\n");
        foreach (var question in Cautions.BeforePaying) text.Append("- ").Append(question).Append('\n');
        return text.ToString();
    }
}
