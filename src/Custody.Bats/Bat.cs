namespace Custody.Bats;

/// <summary>The present state of one bat, for decisions: open fields only, folded from its entries. Each act's folder owns the part of
/// the state that its facts change; what an entry started (a hand-over, a lot, a hold) goes by that entry's number.</summary>
public sealed record Bat : StreamState<Bat>
{
    public Registration? Registration { get; init; }
    public Identity Identity { get; init; } = new();
    public Continuations Continuations { get; init; } = new();
    public Title Title { get; init; } = Title.Unknown;
    public Authorities Authorities { get; init; } = new();
    public Keeping Keeping { get; init; } = new();
    public Seals Seals { get; init; } = new();
    public Incidents Incidents { get; init; } = new();
    public Photographs Photographs { get; init; } = new();
    public Examinations Examinations { get; init; } = new();
    public Sources Sources { get; init; } = new();
    public Datings Datings { get; init; } = new();
    public PictureComparisons PictureComparisons { get; init; } = new();
    public Opinions Opinions { get; init; } = new();
    public Treatments Treatments { get; init; } = new();
    public Consignments Consignments { get; init; } = new();
    public Lots Lots { get; init; } = new();
    public Sales Sales { get; init; } = new();
    public Labels Labels { get; init; } = new();
    public Claims Claims { get; init; } = new();
    public Holds Holds { get; init; } = new();
    public Searches Searches { get; init; } = new();
    public Corrections Corrections { get; init; } = new();

    /// <summary>False when nothing on this bat can be open work on any day (<see cref="OpenWork"/>). Written with the state, so that a house with
    /// very many bats finds the few that wait.</summary>
    public bool Waits => OpenWork.MayWait(this);

    /// <summary>Streams of the habit files and comparison files that its opinions were weighed against, ordinal order. Written with the state, so that
    /// a source withdrawn there finds the bats whose opinions rest on it.</summary>
    public IReadOnlyList<string> WeighedAgainst =>
        [.. Opinions.ByEntry.Values.SelectMany(o => o.Files).Select(f => f.Stream.ToString()).Distinct(StringComparer.Ordinal).Order(StringComparer.Ordinal)];

    /// <summary>Streams of the sales in which it stood as a lot, ordinal order. Written with the state, so that a sale finds its bats.</summary>
    public IReadOnlyList<string> StoodIn =>
        [.. Lots.ByEntry.Values.Select(l => l.Terms.Stream.ToString()).Distinct(StringComparer.Ordinal).Order(StringComparer.Ordinal)];
}

/// <summary>A fact on a bat's stream.</summary>
public abstract record BatFact : Fact<Bat>
{
    /// <summary>True for what may still be recorded after the registration was voided, or the bat declared the same as an older one,
    /// divided or destroyed: corrections, reports and what ends or undoes that very declaration.</summary>
    public virtual bool AllowedAfterTheEnd => IsReport;

    /// <summary>Entries of this bat that fall with this fact (withdrawn, voided, corrected): whatever rests on them becomes open work.</summary>
    public virtual IEnumerable<long> Fells => [];

    /// <summary>Entries whose open work this fact settles: confirmed, restated or withdrawn.</summary>
    public virtual IEnumerable<long> Settles => [];

    public sealed override IEnumerable<Refusal> Permit(Bat bat, Entry entry, ICited cited)
    {
        if (!bat.Exists && this is not BatRegistered)
            return [new("bat-not-registered", "The first entry of a bat's stream is its registration.", "Register the bat first.")];
        if (bat.Exists && !AllowedAfterTheEnd && EndOf(bat) is { } end) return [end];
        if (RestsOn.Cast<long?>().FirstOrDefault(n => n < 1 || n > bat.N) is { } missing)
            return [new("rests-on-nothing", $"There is no entry {missing} on this bat to rest on.", "Name an entry that exists.")];
        return PermitOn(bat, entry, cited);
    }

    public sealed override Bat Apply(Bat bat, Entry entry)
    {
        var applied = ApplyTo(bat, entry);
        return applied with { Corrections = applied.Corrections.After(entry.N, RestsOn, Fells, Settles) };
    }

    /// <summary>The act's own rule, on a registered bat whose record goes on (or whose registration this is).</summary>
    protected abstract IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited);

    /// <summary>The act's own step of the fold.</summary>
    protected abstract Bat ApplyTo(Bat bat, Entry entry);

    static Refusal? EndOf(Bat bat) => bat switch
    {
        { Registration.Voided: true } => new("registration-voided", "The registration of this bat was voided.", "Register the bat anew."),
        _ => bat.Identity.End,
    };
}

/// <summary>A command on a bat's stream.</summary>
public abstract record BatCommand : Command<Bat>;
