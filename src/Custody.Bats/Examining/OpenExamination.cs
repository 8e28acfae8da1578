using Custody.Evidence;

namespace Custody.Bats;

/// <summary>What lay before the examiner.</summary>
public enum ExaminedFrom
{
    BatInHand,
    PicturesOnly,
}

/// <summary>Whether the examination keeps the order bat, habit file, sources, factory record, own earlier findings, others' opinions, price,
/// with the findings on the bat locked first. Not blind is honest and allowed.</summary>
public enum Blinding
{
    FixedOrder,
    NotBlind,
}

/// <summary>What an examiner already knew before the bat was looked at.</summary>
public enum KnownBefore
{
    ProposedPlayer,
    Consignor,
    HabitFile,
    Sources,
    FactoryRecord,
    OwnEarlierFindings,
    OthersOpinions,
    Price,
}

/// <summary>How a player came to be proposed, recorded before any finding.</summary>
public enum ProposedBy
{
    NobodyYet,
    Consignor,
    MarkingOnBat,
    SearchOfFiles,
}

/// <summary>Open an examination of the bat.</summary>
/// <param name="FilesSearched">How many habit files were searched for a player; the page then says "best of" that number.</param>
/// <param name="Photographs">Entries of the photographs examined, when the bat is not in hand.</param>
/// <param name="Known">In the examiner's words, what was known before.</param>
public sealed record OpenExamination(
    PartyId Examiner, PartyId House, ExaminedFrom From, Blinding Blinding, IReadOnlyList<KnownBefore>? KnownBefore, ProposedBy ProposedBy,
    long? FilesSearched, IReadOnlyList<long>? Photographs, string? Known, string? Purpose, string? Place) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
    [
        new ExaminationOpened(
            people.Of(Examiner, Role.Examiner), people.Of(House, Role.House), From, Blinding, KnownBefore ?? [], ProposedBy, FilesSearched,
            Photographs ?? [], Known, Purpose, Place),
    ];
}

/// <summary>An examination was opened. An empty list says that nothing was known before.</summary>
public sealed record ExaminationOpened(
    Alias Examiner, Alias House, ExaminedFrom From, Blinding Blinding, IReadOnlyList<KnownBefore> KnownBefore, ProposedBy ProposedBy,
    long? FilesSearched, IReadOnlyList<long> Photographs, Withheld<string>? Known, Withheld<string>? Purpose, Withheld<string>? Place) : BatFact
{
    // What was locked, given or measured is revised or withdrawn by its own act; only what was typed beside it can be a slip of the pen.
    public override bool DecidesBy(string member) => true;

    public override IEnumerable<long> RestsOn => Photographs;

    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (From == ExaminedFrom.PicturesOnly && Photographs.Count == 0)
            yield return new("no-photographs", "An examination from pictures names none.", "Name the entries that recorded the photographs.");
        if (Grounds.Refuse(bat, bat.Photographs.ByEntry, Photographs, "photograph") is { } missing) yield return missing;
        if ((ProposedBy == ProposedBy.SearchOfFiles) != FilesSearched is >= 1)
            yield return new("search-not-counted", "A search states how many files were searched, and nothing else does.",
                "Give the number of files with a search, and no number otherwise.");
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Examinations = bat.Examinations with
        {
            ByEntry = bat.Examinations.ByEntry.Add(
                entry.N, new Examination(Examiner, House, From, Blinding, [.. KnownBefore], Locked: null, Closed: null, Outcome: null)),
        },
    };
}
