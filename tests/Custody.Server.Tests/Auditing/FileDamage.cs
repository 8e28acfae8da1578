using System.Text;
using Custody.Transparency;

namespace Custody.Server.Tests.Auditing;

/// <summary>Damage to what stands outside the database.</summary>
static class FileDamage
{
    public static void Do(string name, string folder, AuditStage stage)
    {
        var log = Path.Combine(folder, "log");
        var checkpoints = Directory.GetFiles(Path.Combine(log, "checkpoints")).Order(StringComparer.Ordinal).ToArray();
        var partial = Directory.GetFiles(Path.Combine(log, "tile", "0", "001.p")).OrderBy(f => int.Parse(Path.GetFileName(f), System.Globalization.CultureInfo.InvariantCulture)).First();
        switch (name)
        {
            case "a photograph is missing": File.Delete(Under(folder, stage.Picture)); break;
            case "a photograph is altered": Flip(Under(folder, stage.Picture)); break;
            case "a document is altered": Flip(Paper(folder)); break;
            case "a full tile is altered": Flip(Path.Combine(log, "tile", "0", "000")); break;
            case "a full tile is missing": File.Delete(Path.Combine(log, "tile", "0", "000")); break;
            case "a full bundle is altered": Flip(Path.Combine(log, "tile", "entries", "000")); break;
            case "the newest partial tile is missing": File.Delete(Directory.GetFiles(Path.Combine(log, "tile", "0", "001.p")).MaxBy(f => int.Parse(Path.GetFileName(f), System.Globalization.CultureInfo.InvariantCulture))!); break;
            case "an old partial tile is altered": Flip(partial); break;
            case "a checkpoint's file is missing": File.Delete(checkpoints[0]); break;
            case "a checkpoint's file is another": File.Copy(checkpoints[1], checkpoints[0], overwrite: true); break;
            case "a checkpoint's file is no note": File.WriteAllText(checkpoints[0], "no note"); break;
            case "the last checkpoint is an older one": File.Copy(checkpoints[0], Path.Combine(log, "checkpoint"), overwrite: true); break;
            case "a checkpoint is signed by a stranger": Resign(checkpoints[0]); break;
            default: throw new ArgumentException(name, nameof(name));
        }
    }

    /// <summary>The one document, which is kept under a keyed name.</summary>
    public static string Paper(string folder) => Directory.GetFiles(Path.Combine(folder, "photographs", "documents"), "*", SearchOption.AllDirectories).Single();

    /// <summary>The one stored file of this name, wherever it is kept.</summary>
    public static string Under(string folder, string name) => Directory.GetFiles(folder, name, SearchOption.AllDirectories)[0];

    static void Flip(string path)
    {
        var bytes = File.ReadAllBytes(path);
        bytes[^1] ^= 1;
        File.WriteAllBytes(path, bytes);
    }

    static void Resign(string path)
    {
        var checkpoint = Checkpoint.Read(SignedNote.Parse(File.ReadAllBytes(path)));
        using var stranger = SignerKey.FromSeed(checkpoint.Origin, Encoding.ASCII.GetBytes(new string('s', 32)));
        File.WriteAllBytes(path, checkpoint.Sign(stranger).ToArray());
    }
}
