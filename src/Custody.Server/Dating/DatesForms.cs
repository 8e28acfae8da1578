using Custody.Bats;

namespace Custody.Server.Dating;

/// <summary>One dated fact as typed.</summary>
public sealed class DatedFactForm
{
    public string? Moment { get; set; }

    /// <summary>One date, or several for several stints, apart by semicolons.</summary>
    public string? Within { get; set; }

    public string? Strength { get; set; } = nameof(BoundStrength.Hard);
    public string? Scope { get; set; } = nameof(DatingScope.Bat);
    public string? Basis { get; set; }
    public string? Source { get; set; }
    public string? Text { get; set; }
}

/// <summary>A usual time between two moments, as typed.</summary>
public sealed class LagForm
{
    public string? From { get; set; }
    public string? To { get; set; }
    public string? LeastDays { get; set; }
    public string? MostDays { get; set; }
    public string? Basis { get; set; } = nameof(DatingBasis.CommonPractice);
}

/// <summary>Dated facts as typed; rows left empty say nothing.</summary>
public sealed class DatesForm
{
    public List<DatedFactForm> Facts { get; set; } = [];
    public LagForm Lag { get; set; } = new();
    public List<long> Replaces { get; set; } = [];
    public string? Remarks { get; set; }
}

/// <summary>A sign that places leave, as typed.</summary>
public sealed class SignForm
{
    public string? Kind { get; set; }
    public string? Name { get; set; }
}

/// <summary>A place and time where the bat could have been, as typed.</summary>
public sealed class PlaceForm
{
    public string? When { get; set; }
    public string? Name { get; set; }

    /// <summary>Numbers of the signs it left, apart by commas.</summary>
    public string? Leaves { get; set; }
}

/// <summary>What a finding shows, as typed.</summary>
public sealed class ContactForm
{
    public int Finding { get; set; }
    public string? Sign { get; set; }
    public string? Proposed { get; set; }
}

/// <summary>A list of where the bat could have been, as typed; rows left empty say nothing.</summary>
public sealed class PlacesForm
{
    public long Examination { get; set; }
    public List<SignForm> Signs { get; set; } = [];
    public List<PlaceForm> Places { get; set; } = [];
    public List<ContactForm> Contacts { get; set; } = [];
    public string? Source { get; set; }
    public string? Replaces { get; set; }
    public string? Remarks { get; set; }
}
