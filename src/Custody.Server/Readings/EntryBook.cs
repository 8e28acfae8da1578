using System.Text.Json;
using Custody.Bats;
using Custody.Evidence;
using Custody.Server.Private;
using Custody.Server.Recording;
using Custody.Transparency;

namespace Custody.Server.Readings;

/// <summary>One entry exactly as it stands in the log, with what the house is shown of it.</summary>
/// <param name="By">Null: the ledger itself.</param>
/// <param name="CorrectedBy">Numbers of its corrections, as far as they were recorded by the time asked about.</param>
/// <param name="Entry">The stored entry, open fields and digests; never changed by a correction.</param>
public sealed record EntryRead(
    long N, string Type, string Hash, bool IsReport, DateTimeOffset Recorded, Edtf? Occurred, Who? By, bool IsVoid, IReadOnlyList<long> CorrectedBy,
    JsonElement Entry, IReadOnlyList<ShownRead> Shown);

/// <summary>A withheld value and where it belongs.</summary>
/// <param name="Pointer">RFC 6901 pointer to the object whose <c>_sd</c> holds its digest.</param>
public sealed record ShownRead(string Pointer, string Name, JsonElement Value);

/// <summary>Lists the entries of a reading.</summary>
public sealed class EntryBook(Histories histories, WithheldValues withheld)
{
    public async Task<IReadOnlyList<EntryRead>> Of(Reading reading, CancellationToken ct)
    {
        var stream = StreamName.Parse(reading.State.Id);
        var bytes = (await histories.Load(stream, ct)).Bytes;
        var shown = (await withheld.Of(stream, ct)).ToLookup(v => v.N);
        return [.. reading.Entries.Select(noted => Of(reading, noted, bytes[(int)noted.N - 1], shown[noted.N]))];
    }

    static EntryRead Of(Reading reading, Noted noted, byte[] bytes, IEnumerable<ShownValue> shown)
    {
        var at = noted.Entry.Envelope;
        return new EntryRead(
            noted.N, noted.Fact.TypeName, noted.Entry.Hash, noted.Fact.IsReport, at.Recorded, at.Occurred, at.By is { } by ? reading.Who(by) : null,
            noted.IsVoid, noted.CorrectedBy, Element(bytes),
            [.. shown.Select(v => new ShownRead(v.Pointer, v.Name, Element(Jcs.Write(Disclosure.Parse(v.Disclosure).Value))))]);
    }

    static JsonElement Element(byte[] json)
    {
        using var document = JsonDocument.Parse(json);
        return document.RootElement.Clone();
    }
}
