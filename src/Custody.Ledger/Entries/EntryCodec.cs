using Custody.Bats;
using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>
/// An event as outsiders see it: writes facts into entries and reads entries back. What is written is decided by the fact's shape
/// alone (open members, a fixed number of digests for withheld ones), so the table of shapes is the format.
/// </summary>
/// <remarks>Spelling: enumerated words and member names in camel case; null and empty lists left out; a whole is {"of":1,"parts":1}.</remarks>
public static class EntryCodec
{
    /// <summary>The code of <see cref="Malformed"/> for an event type this code does not know: a newer one may.</summary>
    public const string UnknownType = "entry.unknown-type";

    /// <summary>Writes an entry. The same envelope, fact and random bytes give the same bytes for ever.</summary>
    /// <param name="fillRandom">Fills with bytes from a cryptographic generator: first the entry's salt (16), then object by
    /// object as they stand in the entry, in each by field name: 16 for each value kept back, 32 for each absent one. A retried request must get its first bytes again.</param>
    /// <exception cref="Malformed">A value that has no spelling in an entry, or more than 65,536 bytes.</exception>
    public static Sealed Write(Envelope at, Fact fact, Action<Span<byte>> fillRandom)
    {
        RefuseAliases(fact);
        var sealing = new Sealing(fillRandom);
        var salt = sealing.Salt();
        var body = Shape.Of(fact.GetType()).Write(fact, sealing, "/body");
        var bytes = Jcs.Write(Enclose(at, fact.TypeName, salt, body));
        return bytes.Length <= EntryForm.MaxBytes
            ? new Sealed(bytes, Hash.Of(bytes).Text, sealing.Withheld)
            : throw new Malformed("entry.too-large", $"The entry is longer than {EntryForm.MaxBytes} bytes.");
    }

    static Json.Obj Enclose(Envelope at, string type, string salt, Json.Obj body)
    {
        if (at.Recorded.Offset != TimeSpan.Zero || at.Recorded.Ticks % TimeSpan.TicksPerSecond != 0)
            throw new Malformed("entry.recorded", "The time of recording is UTC to the second.");
        if (at.N < 1 || at.Prev is null != (at.N == 1) || at.Rules < 1 || !EntryText.IsOrigin(at.Ledger) || !(at.Prev is null || EntryText.IsHash(at.Prev)))
            throw new Malformed("entry.envelope", "Number, hash of the entry before, rules or ledger are not those of an entry.");
        return new ObjBuilder { { "body", body }, { "by", at.By?.ToString() ?? "ledger" }, { "ledger", at.Ledger }, { "n", at.N } }
            .AddIfPresent("occurred", at.Occurred is { } occurred ? new Json.Str(occurred.ToString()) : null)
            .AddIfPresent("prev", at.Prev is { } prev ? new Json.Str(prev) : null)
            .Add("recorded", EntryText.Write(at.Recorded)).Add("rules", at.Rules).Add("salt", salt)
            .Add("stream", at.Stream.ToString()).Add("type", type).Add("v", EntryForm.Version).Build();
    }

    /// <summary>Reads an entry from its canonical bytes, checking every rule of the format.</summary>
    /// <param name="disclosures">Disclosure texts of this entry, each of which must fit one digest; what they show is filled in.</param>
    /// <exception cref="Malformed"><see cref="UnknownType"/> for an event type this code does not know; any other code for a broken entry.</exception>
    public static Entry Read(ReadOnlySpan<byte> bytes, IEnumerable<string>? disclosures = null) =>
        Open(EntryForm.Read(bytes), disclosures).Entry;

    /// <summary>As <see cref="Read"/>, from an entry whose form was read, with the place of every digest.</summary>
    /// <exception cref="Malformed">As <see cref="Read"/>.</exception>
    public static (Entry Entry, IReadOnlyList<DigestPlace> Digests) Open(EntryForm form, IEnumerable<string>? disclosures = null)
    {
        var type = Shapes.Find(form.Type) ?? throw new Malformed(UnknownType, $"The event type {form.Type} is not known here.");
        var opening = new Opening(disclosures);
        var fact = (Fact)Shape.Of(type).Read(form.Body, opening, "/body");
        RefuseAliases(fact);
        opening.RefuseLeftOver();
        return (new Entry(form.Envelope, fact, form.Hash), opening.Places);
    }

    static void RefuseAliases(Fact fact)
    {
        if (fact.Parties?.Keys.FirstOrDefault(key => !Alias.TryParse(key, out _)) is { } wrong)
            throw new Malformed("entry.alias", $"/body/parties: \"{wrong}\" is not an alias.");
    }

    /// <summary>What is wrong with these bytes as an entry; null when they are well formed.</summary>
    public static Malformed? Fault(ReadOnlySpan<byte> bytes)
    {
        try
        {
            Read(bytes);
            return null;
        }
        catch (Malformed fault)
        {
            return fault;
        }
    }

    /// <summary>Whether these bytes are a well-formed entry of a known event type.</summary>
    public static bool IsWellFormed(ReadOnlySpan<byte> bytes) => Fault(bytes) is null;
}
