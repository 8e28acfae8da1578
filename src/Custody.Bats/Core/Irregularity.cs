namespace Custody.Bats;

/// <summary>What is irregular about something reported, as the one who reports it says. What can be seen by comparing entries (a gap, an
/// overlap, a seller who held no title) is never stored: read models show it. Words of the trade; common practice.</summary>
public enum Irregularity
{
    NotByTheOwner,
    NotByTheKeeper,
    SaidToBeStolen,
    Undocumented,
    CopyOnly,
    DocumentIncomplete,
    DocumentAltered,
    SignatureMissing,
    NamesDiffer,
    DatesDiffer,
    DescriptionDiffers,
    ContradictsAnother,
    SecondHand,
    Other,
}
