using System.Globalization;
using System.Text;

namespace Custody.Server.Auditing;

/// <summary>An audit's report as text: every finding kept, then the figures.</summary>
public static class AuditText
{
    public static string Of(AuditReport found)
    {
        StringBuilder text = new();
        foreach (var finding in found.Findings.Kept) text.Append(finding).Append('\n');
        foreach (var (code, more) in found.Findings.Beyond) text.Append(CultureInfo.InvariantCulture, $"       {code}  and {more} more of this kind\n");
        text.Append(CultureInfo.InvariantCulture, $"{found.Events} events re-hashed, {found.Size} leaves, {found.Checkpoints} checkpoints compared, {found.Pending} entries waiting for the log\n");
        if (found.Gone + found.Unnamed > 0) text.Append(CultureInfo.InvariantCulture, $"{found.Gone} entries are gone after a restore, {found.Unnamed} records belong to no stream known\n");
        text.Append(CultureInfo.InvariantCulture, $"{found.Photographs} photographs, {found.Values} withheld values ({found.Erased} erased), {found.States} states looked at\n");
        if (found.Newest is { } newest) text.Append(CultureInfo.InvariantCulture, $"newest checkpoint compared: size {newest.Size}, root {newest.Root.Standard}\n");
        return text.Append(CultureInfo.InvariantCulture, $"{found.Findings.Faults} faults, {found.Findings.Remarks} remarks\n").ToString();
    }
}
