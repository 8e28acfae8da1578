using System.Reflection;

namespace Custody.Bats;

/// <summary>
/// What an entry says: one sealed record for each event type, its name the type's name for ever. Constructor parameters are the
/// members of the entry's body. A parameter of type <see cref="Withheld{T}"/> is withheld, every other one is open, so an open one
/// is never text a person typed: enumerated words, whole numbers, <c>Quantity</c>, <c>Edtf</c>, <see cref="Alias"/>, entry numbers of
/// this stream (long), <see cref="Reference"/>, <see cref="PictureHash"/>, <see cref="Fraction"/>, parts and lists of these.
/// </summary>
public abstract record Fact
{
    /// <summary>Whoever this entry is the first to use, by alias text (p1, p2, ...). Null when nobody is new.</summary>
    public Keyed<Introduced>? Parties { get; init; }

    /// <summary>The event type's name, as written in the entry.</summary>
    public string TypeName => NameOf(GetType());

    public static string NameOf(Type type) => type.GetCustomAttribute<ShapeAttribute>()?.Name ?? type.Name;

    /// <summary>A report says what happened elsewhere or before; it never moves present title or custody.</summary>
    public virtual bool IsReport => false;

    /// <summary>Entry numbers of this stream that this fact rests on: when one of them is corrected, withdrawn or voided, this one
    /// becomes open work.</summary>
    public virtual IEnumerable<long> RestsOn => [];

    /// <summary>Open references to entries that the rules look at: of other streams, and of this one where the rule needs the entry itself.
    /// Nothing else can be found through <see cref="ICited"/>.</summary>
    public virtual IEnumerable<Reference> Cites => [];

    /// <summary>True when the fact moves title, custody, a hold or a party: those have their own acts and cannot be corrected away.</summary>
    public virtual bool MovesTitleCustodyOrHold => false;

    /// <summary>True for acts of two sides: correcting one needs the other side's word or a stated reason.</summary>
    public virtual bool IsTwoSided => false;

    /// <summary>True for an open member (by property name) that later decisions turn on. A clerical correction changes what is read and
    /// never what may be done next, so such a member is put right by an act of its own, or the entry is voided and recorded again.</summary>
    public virtual bool DecidesBy(string member) => false;

    /// <summary>Every alias the open fields name; each must have been introduced. Found by the shape of the record.</summary>
    public IEnumerable<Alias> Names() => Shapes.Open<Alias>(this);
}

/// <summary>A fact of one kind of stream, with its own rule and its own step of the fold.</summary>
public abstract record Fact<TState> : Fact where TState : StreamState<TState>, new()
{
    /// <summary>Every reason why this entry may not follow this state. Reads open fields only, reads other streams only through
    /// <paramref name="cited"/>, and has no clock but <c>entry.Envelope.Recorded</c>. Kept for every rules number ever adopted.</summary>
    public abstract IEnumerable<Refusal> Permit(TState state, Entry entry, ICited cited);

    /// <summary>The state after this entry. Total: never throws on a permitted entry, never reads a withheld value.</summary>
    public abstract TState Apply(TState state, Entry entry);
}

/// <summary>Gives an event type another name than its class, for a changed shape: <c>BatReceived.2</c>.</summary>
[AttributeUsage(AttributeTargets.Class)]
public sealed class ShapeAttribute(string name) : Attribute
{
    public string Name { get; } = name;
}

/// <summary>A party's first appearance in a stream: the role is open, name and party stream are two separate withheld values.</summary>
public sealed record Introduced(Role Role, Withheld<string>? Name, Withheld<string>? PartyStream) : IPart;

/// <summary>What someone is to this bat when first named. Words of the trade; common practice.</summary>
public enum Role
{
    House, Registrar, Cataloguer, Examiner, Owner, Consignor, Buyer, Seller, Agent, Executor, Trustee, Court, Police, Insurer,
    Conservator, Carrier, Custodian, Borrower, Lender, Lienholder, Claimant, Player, Club, Maker, Photographer, Finder, Donor,
    Heir, Presenter, Witness, Author, Searcher, Requester, Payer, Marker, Other,
}
