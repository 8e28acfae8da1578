using System.Runtime.CompilerServices;

namespace Custody.Ledger.Tests;

/// <summary>Compares a text with the approved file beside the test. A difference leaves a .received.txt to look at; whoever agrees with
/// it renames it. What is approved once has been published: a changed line means a changed format.</summary>
static class Approved
{
    public static void Equal(string received, string name, [CallerFilePath] string beside = "")
    {
        var folder = Path.GetDirectoryName(beside)!;
        var (approvedFile, receivedFile) = (Path.Combine(folder, name + ".approved.txt"), Path.Combine(folder, name + ".received.txt"));
        var approved = File.Exists(approvedFile) ? File.ReadAllText(approvedFile) : "";
        if (string.Equals(approved, received, StringComparison.Ordinal))
        {
            File.Delete(receivedFile);
            return;
        }
        File.WriteAllText(receivedFile, received);
        Assert.Fail($"{name}: the text differs from the approved one from line {FirstDifference(approved, received)} on; see {name}.received.txt.");
    }

    static int FirstDifference(string a, string b) =>
        a.Split('\n').Zip(b.Split('\n')).TakeWhile(pair => pair.First == pair.Second).Count() + 1;
}
