namespace Custody.Bats;

/// <summary>Record a search of a theft list or another register. When it was made is said by the date of the occurrence, which may not
/// be left out.</summary>
/// <param name="Register">Name of what was searched; withheld.</param>
/// <param name="CertificateHash">SHA-256 of the certificate; withheld.</param>
public sealed record RecordSearch(
    SearchedIn In, SearchResult Result, PartyId? SearchedBy, string? Register, string? CertificateNumber, string? CertificateHash,
    string? Note) : BatCommand
{
    public override IReadOnlyList<Fact<Bat>> Produce(Bat bat, Introductions people) =>
        [new SearchRecorded(In, Result, people.Of(SearchedBy ?? By, Role.Searcher), Register, CertificateNumber, CertificateHash, Note)];
}

/// <summary>Something was searched, on a date, with this result. A match is open: it counts against the holder.</summary>
public sealed record SearchRecorded(
    SearchedIn In, SearchResult Result, Alias SearchedBy, Withheld<string>? Register, Withheld<string>? CertificateNumber,
    Withheld<string>? CertificateHash, Withheld<string>? Note) : BatFact
{
    protected override IEnumerable<Refusal> PermitOn(Bat bat, Entry entry, ICited cited)
    {
        if (entry.Envelope.Occurred is null)
            yield return new("date-missing", "A search counts as of its date, and none is given.", "Say when it was made.");
    }

    protected override Bat ApplyTo(Bat bat, Entry entry) => bat with
    {
        Searches = bat.Searches with { ByEntry = bat.Searches.ByEntry.Add(entry.N, new Search(In, Result)) },
    };
}
