using System.CommandLine;
using Custody.Server.Configuring;
using Command = System.CommandLine.Command;

namespace Custody.Server.Operating;

/// <summary>The command <c>settings</c>: everything that can be set from outside, as a reference.</summary>
static class SettingsCommand
{
    public static Command Make()
    {
        Option<FileInfo?> file = new("--out") { Description = "File to write it into; standard output when left out." };
        var settings = new Command("settings", "List every setting, with meaning, default and unit.") { file };
        settings.SetAction(async (parsed, ct) =>
        {
            if (parsed.GetValue(file) is { } to) await File.WriteAllTextAsync(to.FullName, SettingsReference.Text(), ct);
            else await parsed.InvocationConfiguration.Output.WriteAsync(SettingsReference.Text());
            return 0;
        });
        return settings;
    }
}
