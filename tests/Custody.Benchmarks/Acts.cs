using Custody.Bats;
using Custody.Evidence;

namespace Custody.Benchmarks;

/// <summary>The life of a bat as a cycle of acts: released, received, moved, searched for, a gap stated, moved again. Which comes next, and by
/// whom, follows from the entry's number alone, so that every way of recording does the same.</summary>
sealed class Acts(PartyId owner, PartyId house)
{
    const int Cycle = 6;
    static readonly Edtf Day = Edtf.Parse("2024-03-01");

    public PartyId Owner { get; } = owner;
    public PartyId House { get; } = house;

    public RegisterBat Register(string shortNumber) => new(
        shortNumber, Arrival.BroughtIn, Owner, Owner, AssertionBasis.HoldersWord, [new(Owner, Fraction.Whole)], AssertionBasis.HoldersWord,
        "thirty-four inches, taped handle", null, null)
    { By = Owner };

    /// <summary>The act that entry <paramref name="n"/> of a bat records; n is 2 or more.</summary>
    public BatCommand Next(long n)
    {
        var (from, to) = (n - 2) / Cycle % 2 == 0 ? (Owner, House) : (House, Owner);
        return ((n - 2) % Cycle) switch
        {
            0 => new ReleaseBat(to, HandoverPurpose.Exhibition, Attestation.Account, null, null, "front counter", null, null, null, null, null) { By = from, Occurred = Day },
            1 => new ReceiveBat(n - 1, null, Attestation.Account, SealFound.NoSeal, null, IdentityResult.NotChecked, null, null, null, null, null) { By = to },
            2 => new MoveBat(MoveReason.Storage, null, "rack 12, shelf 3", null) { By = to },
            3 => new RecordSearch(SearchedIn.TheftList, SearchResult.NothingFound, null, null, null, null, null) { By = to, Occurred = Day },
            4 => new StateGap(GapIn.Custody, Day, null, [SearchedIn.Newspapers, SearchedIn.ClubRecords], null, null) { By = to },
            _ => new MoveBat(MoveReason.Display, null, null, null) { By = to },
        };
    }
}
