using System.Globalization;
using System.Text;

namespace Custody.Transparency;

/// <summary>A log that a policy names.</summary>
public sealed record PolicyLog(VerifierKey Key, string? Url);

/// <summary>A cosigner that a policy names.</summary>
/// <param name="Name">The name it has within the file, and nowhere else.</param>
public sealed record PolicyCosigner(string Name, VerifierKey Key, string? Url);

/// <summary>Which logs are known, and whose cosignatures make a checkpoint count (c2sp.org/tlog-policy). The file's words are the standard's: log,
/// witness, group, quorum.</summary>
public sealed class CosignPolicy
{
    /// <summary>Most lines of logs, witnesses and groups that are read; the specification asks for 32 of each.</summary>
    public const int MostLines = 1_000;

    /// <summary>Longest file that is read, in bytes.</summary>
    public const int MaxBytes = 1 << 20;

    const string None = "none";

    readonly List<PolicyLog> logs = [];
    readonly List<PolicyCosigner> cosigners = [];
    readonly Dictionary<string, (int Threshold, string[] Members)> groups = new(StringComparer.Ordinal);
    readonly HashSet<string> members = new(StringComparer.Ordinal);
    string? quorum;

    CosignPolicy() { }

    /// <summary>Known logs, in the file's order.</summary>
    public IReadOnlyList<PolicyLog> Logs => logs;

    /// <summary>Known cosigners, in the file's order.</summary>
    public IReadOnlyList<PolicyCosigner> Cosigners => cosigners;

    /// <summary>Whether any cosignature is asked for.</summary>
    public bool AsksForCosigners => quorum != None;

    /// <summary>Whether cosignatures by these keys satisfy the quorum.</summary>
    /// <param name="keys">Keys whose cosignatures were verified. One counts for a cosigner when it is the same public key under the same name.</param>
    public bool IsSatisfiedBy(IEnumerable<VerifierKey> keys)
    {
        var cosigned = keys.ToHashSet();
        bool Holds(string name) => groups.TryGetValue(name, out var group)
            ? group.Members.Count(Holds) >= group.Threshold
            : cosigned.Contains(cosigners.Find(c => c.Name == name)!.Key);
        return quorum == None || Holds(quorum!);
    }

    /// <summary>Reads a policy file.</summary>
    /// <exception cref="Malformed"><c>policy</c>, with the number of the line; or a code of <see cref="VerifierKey.Parse"/>.</exception>
    public static CosignPolicy Parse(ReadOnlySpan<byte> file)
    {
        if (file.Length > MaxBytes) throw new Malformed("policy", $"A policy has at most {MaxBytes} bytes.");
        // "Character set": octets are opaque; Latin-1 keeps them apart without asking what they mean.
        var text = Encoding.Latin1.GetString(file);
        if (text.Any(c => c is < ' ' and not ('\t' or '\n') or '\x7f')) throw new Malformed("policy", "A policy holds no control characters but tabs and line feeds.");
        var policy = new CosignPolicy();
        var number = 0;
        foreach (var line in text.Split('\n'))
        {
            number++;
            var words = line.Split([' ', '\t'], StringSplitOptions.RemoveEmptyEntries);
            if (words.Length == 0 || words[0].StartsWith('#')) continue;
            policy.Read(words, number);
        }
        return policy.quorum is null ? throw new Malformed("policy", "A policy has one quorum line.") : policy;
    }

    void Read(string[] words, int line)
    {
        if (logs.Count + cosigners.Count + groups.Count >= MostLines) throw Bad(line, $"more than {MostLines} definitions");
        switch (words)
        {
            case ["log", var vkey]: AddLog(vkey, null, line); break;
            case ["log", var vkey, var url]: AddLog(vkey, url, line); break;
            case ["witness", var name, var vkey]: AddCosigner(name, vkey, null, line); break;
            case ["witness", var name, var vkey, var url]: AddCosigner(name, vkey, url, line); break;
            case ["group", var name, var threshold, _, ..]: AddGroup(name, threshold, words[3..], line); break;
            case ["quorum", var name]: SetQuorum(name, line); break;
            default: throw Bad(line, "not a line of a policy: log, witness, group or quorum");
        }
    }

    void AddLog(string vkey, string? url, int line)
    {
        var key = VerifierKey.Parse(vkey);
        if (key.Type != VerifierKey.Ed25519) throw Bad(line, "a log signs with a key of type 0x01");
        if (logs.Exists(l => Same(l.Key, key))) throw Bad(line, "the log's public key stands here twice");
        logs.Add(new(key, url));
    }

    void AddCosigner(string name, string vkey, string? url, int line)
    {
        var key = VerifierKey.Parse(vkey);
        if (key.Type != VerifierKey.Cosignature) throw Bad(line, "a witness signs with a key of type 0x04");
        if (cosigners.Exists(c => Same(c.Key, key))) throw Bad(line, "the witness's public key stands here twice");
        Define(name, line);
        cosigners.Add(new(name, key, url));
    }

    void AddGroup(string name, string threshold, string[] names, int line)
    {
        Define(name, line);
        foreach (var member in names)
        {
            if (!IsDefined(member) || member == name) throw Bad(line, $"{member} is not defined on a line before");
            if (!members.Add(member)) throw Bad(line, $"{member} is a member of a group already");
        }
        var k = threshold switch
        {
            "all" => names.Length,
            "any" => 1,
            _ when threshold.All(char.IsAsciiDigit) && int.TryParse(threshold, NumberStyles.None, CultureInfo.InvariantCulture, out var count) => count,
            _ => throw Bad(line, "a group asks for all, any, or a number"),
        };
        if (k < 1 || k > names.Length) throw Bad(line, $"a group of {names.Length} cannot ask for {k}");
        groups[name] = (k, names);
    }

    void SetQuorum(string name, int line)
    {
        if (quorum is not null) throw Bad(line, "a second quorum line");
        if (name != None && !IsDefined(name)) throw Bad(line, $"{name} is not defined on a line before");
        quorum = name;
    }

    void Define(string name, int line)
    {
        if (name == None || IsDefined(name)) throw Bad(line, $"the name {name} is taken");
    }

    bool IsDefined(string name) => groups.ContainsKey(name) || cosigners.Exists(c => c.Name == name);

    // "Public key representation": duplicates are told by the public key alone.
    static bool Same(VerifierKey a, VerifierKey b) => a.PublicKey.Span.SequenceEqual(b.PublicKey.Span);

    static Malformed Bad(int line, string why) => new("policy", string.Create(CultureInfo.InvariantCulture, $"Line {line} of the policy: {why}."));
}
