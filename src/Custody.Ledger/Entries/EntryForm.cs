using Custody.Bats;
using Custody.Evidence;
using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>An entry read as far as every entry is alike: what a reader knows even of an event type it has never heard of.</summary>
/// <param name="Salt">The entry's own 128 random bits, 22 characters.</param>
/// <param name="Hash">Entry hash, SHA-256 of the bytes.</param>
public sealed record EntryForm(Envelope Envelope, string Type, string Salt, Json.Obj Body, string Hash)
{
    /// <summary>What <c>v</c> says in every entry of this format.</summary>
    public const string Version = "custody-entry/1";

    /// <summary>Longest entry, in bytes.</summary>
    public const int MaxBytes = 65_536;

    static readonly string[] Required = ["body", "by", "ledger", "n", "recorded", "rules", "salt", "stream", "type", "v"];
    static readonly string[] Optional = ["occurred", "prev"];

    /// <summary>Reads the canonical bytes of an entry and checks every rule that does not depend on its event type.</summary>
    /// <exception cref="Malformed">Codes beginning <c>json.</c> (not canonical among them) or <c>entry.</c>.</exception>
    public static EntryForm Read(ReadOnlySpan<byte> bytes)
    {
        if (Jcs.ParseCanonical(bytes, JsonLimits.Entry) is not Json.Obj entry)
            throw new Malformed("entry.members", "An entry is a JSON object.");
        RefuseMembers(entry);
        if (Text(entry, "v") != Version) throw new Malformed("entry.version", $"Only {Version} is known here.");
        var envelope = ReadEnvelope(entry);
        var body = entry["body"] as Json.Obj ?? throw Bad("body", "an object");
        var salt = Text(entry, "salt");
        if (salt.Length != 22 || !Base64Url.TryDecode(salt, out _)) throw Bad("salt", "128 bits in 22 characters base64url");
        Walk(body, "/body", inArray: false);
        return new EntryForm(envelope, TypeName(entry), salt, body, Custody.Transparency.Hash.Of(bytes).Text);
    }

    static void RefuseMembers(Json.Obj entry)
    {
        foreach (var member in entry.Members)
            if (!Required.Contains(member.Name) && !Optional.Contains(member.Name))
                throw new Malformed("entry.members", $"The member \"{member.Name}\" does not belong in an entry.");
        if (Required.FirstOrDefault(name => !entry.Has(name)) is { } missing)
            throw new Malformed("entry.members", $"The member \"{missing}\" is missing.");
    }

    static Envelope ReadEnvelope(Json.Obj entry)
    {
        var ledger = Text(entry, "ledger");
        if (!EntryText.IsOrigin(ledger)) throw Bad("ledger", "the name of a ledger");
        if (!StreamName.TryParse(Text(entry, "stream"), out var stream)) throw Bad("stream", "the name of a stream");
        var n = Count(entry, "n");
        var rules = Count(entry, "rules");
        if (rules > int.MaxValue) throw Bad("rules", "a smaller number");
        var prev = entry.Has("prev") ? Text(entry, "prev") : null;
        if (prev is null != (n == 1)) throw new Malformed("entry.prev", "The hash of the entry before is absent exactly from entry 1.");
        if (prev is not null && !EntryText.IsHash(prev)) throw Bad("prev", "an entry hash");
        return new Envelope(
            ledger, (int)rules, stream, n, prev, EntryText.ReadSecond(Text(entry, "recorded")), ReadOccurred(entry), ReadBy(entry));
    }

    static Edtf? ReadOccurred(Json.Obj entry)
    {
        if (!entry.Has("occurred")) return null;
        try
        {
            return Edtf.Parse(Text(entry, "occurred"));
        }
        catch (FormatException refused)
        {
            throw new Malformed("entry.occurred", refused.Message);
        }
    }

    static Alias? ReadBy(Json.Obj entry)
    {
        var by = Text(entry, "by");
        if (by == "ledger") return null;
        return Alias.TryParse(by, out var alias) ? alias : throw Bad("by", "an alias or the word ledger");
    }

    static string TypeName(Json.Obj entry)
    {
        var type = Text(entry, "type");
        return type.Length is > 0 and <= 64 && char.IsAsciiLetterUpper(type[0]) && type.All(c => char.IsAsciiLetterOrDigit(c) || c == '.')
            ? type
            : throw Bad("type", "the name of an event type");
    }

    /// <summary>No null, no fractions, member names and digests in their form, digests never inside a list.</summary>
    static void Walk(Json value, string pointer, bool inArray)
    {
        switch (value)
        {
            case Json.Null: throw new Malformed("entry.null", $"{pointer}: an entry says nothing by leaving out, never by null.");
            case Json.Num: throw new Malformed("entry.number", $"{pointer}: a number that is not a whole one is written as text.");
            case Json.Arr array:
                foreach (var item in array.Items) Walk(item, pointer, inArray: true);
                break;
            case Json.Obj obj:
                foreach (var (name, member) in obj.Members) WalkMember(name, member, pointer, inArray);
                break;
        }
    }

    static void WalkMember(string name, Json member, string pointer, bool inArray)
    {
        if (name != "_sd")
        {
            if (!EntryText.IsName(name)) throw new Malformed("entry.name", $"{pointer}: \"{name}\" is not a member name.");
            Walk(member, pointer + "/" + name, inArray);
            return;
        }
        if (inArray) throw new Malformed("entry.digests", $"{pointer}: nothing is withheld inside a list.");
        if (member is not Json.Arr { Items.Count: > 0 } digests) throw new Malformed("entry.digests", $"{pointer}: digests are a list that is not empty.");
        var before = "";
        foreach (var item in digests.Items)
        {
            if (item is not Json.Str digest || !EntryText.IsHash(digest.Value))
                throw new Malformed("entry.digests", $"{pointer}: a digest is a SHA-256 value in 43 characters base64url.");
            if (string.CompareOrdinal(before, digest.Value) >= 0)
                throw new Malformed("entry.digests", $"{pointer}: digests stand once each, in ascending order.");
            before = digest.Value;
        }
    }

    static string Text(Json.Obj entry, string name) => (entry[name] as Json.Str ?? throw Bad(name, "a text")).Value;

    static long Count(Json.Obj entry, string name) => entry[name] is Json.Int { Value: >= 1 } n ? n.Value : throw Bad(name, "a whole number from 1");

    static Malformed Bad(string name, string expected) => new("entry." + name, $"The member \"{name}\" must be {expected}.");
}
