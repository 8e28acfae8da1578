using System.Collections;
using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using Custody.Bats;
using Custody.Evidence;

namespace Custody.Ledger.Tests;

/// <summary>
/// The entry format written a second time, from its description and from the standards (RFC 8785, RFC 9901) alone: own JSON, own base64url, own
/// digests, nothing of the product but the facts it is given. It asks what a value is, never what the product's writer thinks of it.
/// </summary>
sealed class SecondWriter(Action<Span<byte>> fillRandom)
{
    public byte[] Write(Envelope at, Fact fact)
    {
        Dictionary<string, object?> entry = new()
        {
            ["v"] = "custody-entry/1",
            ["ledger"] = at.Ledger,
            ["rules"] = (long)at.Rules,
            ["stream"] = at.Stream.Kind + "/" + at.Stream.Id,
            ["n"] = at.N,
            ["prev"] = at.Prev,
            ["recorded"] = at.Recorded.UtcDateTime.ToString("s", CultureInfo.InvariantCulture) + "Z",
            ["occurred"] = at.Occurred?.Text,
            ["by"] = at.By is { } by ? "p" + by.Number.ToString(CultureInfo.InvariantCulture) : "ledger",
            ["salt"] = Url(Random(16)),
            ["type"] = fact.GetType().GetCustomAttributes(false).OfType<ShapeAttribute>().FirstOrDefault()?.Name ?? fact.GetType().Name,
        };
        // The entry's salt is drawn before its body's.
        entry["body"] = Object(fact);
        return Encoding.UTF8.GetBytes(Json(entry));
    }

    /// <summary>An object of the format: declared parameters, those declared withheld behind digests.</summary>
    Dictionary<string, object?> Object(object part)
    {
        Dictionary<string, object?> members = [];
        foreach (var parameter in part.GetType().GetConstructors().MaxBy(c => c.GetParameters().Length)!.GetParameters())
            members.Add(parameter.Name!, part.GetType().GetProperty(parameter.Name!)!.GetValue(part));
        if (part is Fact) members.Add("parties", ((Fact)part).Parties);
        var kept = part.GetType().GetConstructors().MaxBy(c => c.GetParameters().Length)!.GetParameters()
            .Where(p => p.ParameterType.Name.StartsWith("Withheld", StringComparison.Ordinal)).Select(p => p.Name!).ToHashSet();
        Dictionary<string, object?> written = [];
        if (kept.Count > 0) written["_sd"] = Digests(kept.ToDictionary(Lower, name => members[name]));
        foreach (var (name, value) in members.Where(m => !kept.Contains(m.Key)).OrderBy(m => Lower(m.Key), StringComparer.Ordinal))
            written[Lower(name)] = Plain(value);
        return written;
    }

    List<object?> Digests(Dictionary<string, object?> kept)
    {
        List<string> digests = [];
        foreach (var name in kept.Keys.Order(StringComparer.Ordinal))
        {
            var value = kept[name] is { } withheld ? Plain(withheld.GetType().GetProperty("Value")!.GetValue(withheld)) : null;
            digests.Add(value is null ? Url(SHA256.HashData(Random(32))) : Digest(name, value));
        }
        digests.Sort(StringComparer.Ordinal);
        return [.. digests];
    }

    string Digest(string name, object value)
    {
        var disclosure = Url(Encoding.UTF8.GetBytes(Json(new List<object?> { Url(Random(16)), name, value })));
        return Url(SHA256.HashData(Encoding.ASCII.GetBytes(disclosure)));
    }

    /// <summary>A value as JSON knows it; null for what is left out.</summary>
    object? Plain(object? value) => value switch
    {
        null => null,
        string or bool or long => value,
        int small => (long)small,
        Enum word => Lower(word.ToString()),
        Alias or Edtf or StreamName or PictureHash => value.ToString(),
        Quantity q => new Dictionary<string, object?> { ["value"] = q.Value.Text, ["unit"] = q.Unit.Code },
        Money m => new Dictionary<string, object?> { ["amount"] = m.Amount.Text, ["currency"] = m.Currency.Code },
        Reference r => new Dictionary<string, object?> { ["ledger"] = r.Ledger, ["stream"] = r.Stream.ToString(), ["n"] = r.N, ["hash"] = r.Hash },
        IDictionary parts => parts.Count == 0 ? null : parts.Keys.Cast<string>().Order(StringComparer.Ordinal).ToDictionary(k => k, k => (object?)Object(parts[k]!)),
        IEnumerable list => list.Cast<object>().Select(Plain).ToList() is { Count: > 0 } items ? items : null,
        _ => Object(value),
    };

    static string Json(object? value) => value switch
    {
        string text => Quoted(text),
        long number => number.ToString(CultureInfo.InvariantCulture),
        true => "true",
        false => "false",
        List<object?> list => "[" + string.Join(',', list.Select(Json)) + "]",
        Dictionary<string, object?> members => "{" + string.Join(',', members.Where(m => m.Value is not null)
            .OrderBy(m => m.Key, StringComparer.Ordinal).Select(m => Quoted(m.Key) + ":" + Json(m.Value))) + "}",
        _ => throw new InvalidOperationException("not JSON"),
    };

    static string Quoted(string text) => "\"" + string.Concat(text.Select(c => c switch
    {
        '"' => "\\\"",
        '\\' => "\\\\",
        '\b' => "\\b",
        '\t' => "\\t",
        '\n' => "\\n",
        '\f' => "\\f",
        '\r' => "\\r",
        < ' ' => "\\u" + ((int)c).ToString("x4", CultureInfo.InvariantCulture),
        _ => c.ToString(),
    })) + "\"";

    byte[] Random(int length)
    {
        var bytes = new byte[length];
        fillRandom(bytes);
        return bytes;
    }

    static string Url(byte[] bytes) => Convert.ToBase64String(bytes).TrimEnd('=').Replace('+', '-').Replace('/', '_');

    static string Lower(string name) => char.ToLowerInvariant(name[0]) + name[1..];
}
