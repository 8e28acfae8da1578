using System.Text;

namespace Custody.Server.Configuring;

/// <summary>The reference for keepers, as Markdown: <c>ops/configuration.md</c> is this text, and a test holds them together.</summary>
public static class SettingsReference
{
    const string Begin =
        """
        # Configuration

        Written by `settings --out ops/configuration.md`; do not edit. Everything can be left alone. Variables are read when the server or a command starts. Secret ones belong
        into a file that only the server's user may read (`EnvironmentFile=` of systemd, `env_file` of compose), never on a command line.


        """;

    const string End =
        """

        In the data folder, read again whenever it changes: `cosigning.policy` (c2sp.org/tlog-policy) names the ledgers cosigned for, the cosigners asked, and the quorum.
        Options of each command: `--help`.

        """;

    public static string Text()
    {
        StringBuilder text = new(Begin);
        text.Append("| variable | what it does | default | unit |\n| --- | --- | --- | --- |\n");
        foreach (var s in Settings.All)
            text.Append($"| `{s.Name}`{(s.IsSecret ? " (secret)" : "")} | {s.Meaning} | {(s.Default.Length > 0 ? $"`{s.Default}`" : "")} | {s.Unit} |\n");
        return text.Append(End).ToString().ReplaceLineEndings("\n");
    }
}
