namespace Custody.Bats;

/// <summary>Whether the giver was paid, and on what.</summary>
public enum FeeTerms
{
    NoFee,
    NotContingent,
    Contingent,
    NotStated,
}

/// <summary>An interest in the outcome. An empty list on an opinion declares that there is none.</summary>
public enum DeclaredInterest
{
    OwnsTheBat,
    OwnsAShare,
    Consigned,
    SellsTheBat,
    PaidOnSale,
    LentOnTheBat,
    EmployedByHolder,
    RelatedToHolder,
    SoldItBefore,
    MeansToBuy,
    Other,
    NotStated,
}

/// <summary>Why an examiner's grade departs from what the rubric gives.</summary>
public enum DepartureGround
{
    RubricSilent,
    UnusualCase,
    RubricThoughtWrong,
    Other,
}

/// <summary>A departure from the rubric: that it exists, where and on what ground is open; the reason in words is the examiner's.</summary>
public sealed record Departure(GradeAxis Axis, DepartureGround Ground, Withheld<string>? Reason) : IPart;

/// <summary>A departure as the examiner states it.</summary>
public sealed record DepartureStated(GradeAxis Axis, DepartureGround Ground, string Reason);
