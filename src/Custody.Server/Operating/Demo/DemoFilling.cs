using System.Globalization;
using System.Text;
using System.Text.Json;
using System.Text.Json.Nodes;
using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Photographs;
using Custody.Transparency;

namespace Custody.Server.Operating.Demo;

/// <summary>
/// Puts real values where a line of the story points to something: <c>"@name"</c> a party, <c>"@ledger"</c> the ledger itself; <c>{"$n":key}</c> the number of an entry,
/// <c>{"$ref":key}</c> a reference to one (<c>"ledger:key"</c> in another ledger), <c>{"$step":1}</c> a reference to what an earlier step of the same
/// act records, <c>{"$stepN":1}</c> its number; <c>{"$picture":{...}}</c> the released copy of a picture drawn and received, <c>{"$original":{...}}</c> its original, <c>{"$device":{...}}</c> and
/// <c>{"$taken":{...}}</c> what its file says of camera and time;
/// <c>{"$document":text}</c> a paper received; <c>{"$checkpoint":ledger}</c>, <c>{"$size":ledger}</c>, <c>{"$root":ledger}</c> that ledger's newest
/// checkpoint; <c>{"$note":"key"}</c> the note by which the log's key changes; <c>{"$checker":"hash"}</c> and <c>{"$checker":"length"}</c> the offline
/// checker page, as it is now.
/// </summary>
sealed class DemoFilling(DemoMemory memory, DemoStudio studio, IReadOnlyDictionary<string, DemoLedger> ledgers, DemoLine line, string? keyNote)
{
    // Stands for an entry of this act while it does not exist: replaced before anything is decided.
    static readonly string NoHash = new('A', 43);
    readonly Dictionary<string, JsonNode> received = new(StringComparer.Ordinal);

    /// <summary>Whether the command names an entry that the same act records before it.</summary>
    public bool CitesThisAct { get; private set; }

    public async Task<JsonNode> Fill(JsonNode json, CancellationToken ct)
    {
        switch (json)
        {
            case JsonObject { Count: 1 } pointing when pointing.First() is { Key: ['$', ..] } p:
                return await Found(p.Key, p.Value!, ct);
            case JsonObject map:
                var filled = new JsonObject();
                foreach (var (name, value) in map) filled[name] = value is null ? throw Bad($"'{name}' is null; leave it out") : await Fill(value, ct);
                return filled;
            case JsonArray list:
                var items = new JsonArray();
                foreach (var item in list) items.Add(await Fill(item!, ct));
                return items;
            default:
                return json is JsonValue v && v.TryGetValue<string>(out var text) && text.StartsWith('@') ? Party(text) : json.DeepClone();
        }
    }

    /// <summary>The same once the earlier steps of this act have recorded their entries. Nothing is received twice.</summary>
    public JsonNode FillAgain(JsonNode json, IReadOnlyList<Entry> entries) => json switch
    {
        JsonObject { Count: 1 } pointing when pointing.First() is { Key: "$step" } p => AsNode(entries[p.Value!.GetValue<int>() - 1].Reference),
        JsonObject { Count: 1 } pointing when pointing.First() is { Key: "$stepN" } p => JsonValue.Create(entries[p.Value!.GetValue<int>() - 1].N),
        JsonObject { Count: 1 } pointing when pointing.First() is { Key: ['$', ..] } p => received[p.Key + p.Value!.ToJsonString()].DeepClone(),
        JsonObject map => new JsonObject(map.Select(m => KeyValuePair.Create<string, JsonNode?>(m.Key, FillAgain(m.Value!, entries)))),
        JsonArray list => new JsonArray([.. list.Select(i => FillAgain(i!, entries))]),
        _ => json is JsonValue v && v.TryGetValue<string>(out var text) && text.StartsWith('@') ? Party(text) : json.DeepClone(),
    };

    async Task<JsonNode> Found(string what, JsonNode of, CancellationToken ct)
    {
        var key = what + of.ToJsonString();
        if (!received.TryGetValue(key, out var node)) received[key] = node = await Find(what, of, ct);
        return node.DeepClone();
    }

    async Task<JsonNode> Find(string what, JsonNode of, CancellationToken ct) => what switch
    {
        "$n" => JsonValue.Create(EntryOf(of.GetValue<string>()).N),
        "$ref" => AsNode(ReferenceTo(of.GetValue<string>())),
        "$step" => ThisAct(of.GetValue<int>()),
        "$stepN" => JsonValue.Create(EntryOfThisAct(of.GetValue<int>()).N),
        "$picture" => JsonValue.Create((await Picture(of.AsObject(), ct)).Released.Base64Url),
        "$original" => JsonValue.Create((await Picture(of.AsObject(), ct)).Original.Base64Url),
        "$device" => JsonValue.Create((await Picture(of.AsObject(), ct)).Stated.Device ?? throw Bad("the picture's file names no device")),
        "$taken" => JsonValue.Create((await Picture(of.AsObject(), ct)).Stated.Taken ?? throw Bad("the picture's file names no time")),
        "$document" => JsonValue.Create(await Document(of.GetValue<string>(), ct)),
        "$checkpoint" => AsNode(await Checkpoint(of.GetValue<string>(), ct)),
        "$size" => JsonValue.Create((await Checkpoint(of.GetValue<string>(), ct)).Size),
        "$root" => JsonValue.Create((await Checkpoint(of.GetValue<string>(), ct)).Root),
        "$checker" => of.GetValue<string>() == "length" ? JsonValue.Create(CheckerPage.Bytes.Length) : JsonValue.Create(CheckerPage.Sha256),
        "$note" => JsonValue.Create(keyNote ?? throw Bad("only a change of key has a note")),
        _ => throw Bad($"'{what}' points to nothing known"),
    };

    JsonValue Party(string said) =>
        said == "@ledger" ? JsonValue.Create(PartyId.Ledger.ToString())
        : JsonValue.Create((memory.StreamOf(line.Ledger, "party/" + said[1..]) ?? throw Bad($"nobody is called {said} in this ledger yet")).ToString());

    Recording.EntryAnswer EntryOf(string key) => memory.Find(line.Ledger, key) ?? throw Bad($"no earlier line is called {key}");

    Reference ReferenceTo(string said)
    {
        var (ledger, key) = said.Split(':', 2) is [var other, var there] ? (other, there) : (null, said);
        var entry = ledger is null ? EntryOf(key) : memory.Find(ledger, key) ?? throw Bad($"no earlier line of {ledger} is called {key}");
        return new Reference(ledger is null ? null : LedgerOf(ledger).Place.Origin, StreamName.Parse(entry.Stream), entry.N, entry.Hash);
    }

    JsonNode ThisAct(int step) => AsNode(EntryOfThisAct(step));

    /// <summary>Stands for an entry that does not exist yet, in its own stream.</summary>
    Reference EntryOfThisAct(int step)
    {
        CitesThisAct = true;
        return new Reference(null, memory.StreamOf(line.Ledger, line.Steps[step - 1].Stream) ?? throw Bad($"step {step} is on no stream known yet"), 1, NoHash);
    }

    /// <summary>One picture is received once, whichever entries name it.</summary>
    async Task<PictureReceived> Picture(JsonObject asked, CancellationToken ct)
    {
        if (memory.PictureOf(line.Ledger, asked.ToJsonString()) is { } known) return known;
        var answer = await LedgerOf(line.Ledger).Get<PictureDoor>().Receive(new MemoryStream(studio.Take(asked, line.Where)), "picture.jpg", "image/jpeg", ct);
        var received = answer.Accepted ?? throw Bad($"the picture was refused: {answer.Refused!.Sentence}");
        // The released copy is the same with and without what the file said of itself.
        foreach (var said in new[] { asked.ToJsonString(), DemoStudio.Bare(asked).ToJsonString() }) memory.Keep(line.Ledger, said, received);
        return received;
    }

    async Task<string> Document(string text, CancellationToken ct)
    {
        var answer = await LedgerOf(line.Ledger).Get<DocumentDoor>().Receive(new MemoryStream(Encoding.UTF8.GetBytes(text)), "paper.txt", "text/plain", ct);
        return (answer.Accepted ?? throw Bad($"the document was refused: {answer.Refused!.Sentence}")).Hash.Base64Url;
    }

    async Task<CheckpointAt> Checkpoint(string ledger, CancellationToken ct)
    {
        var newest = (await LedgerOf(ledger).Published(ct)).Checkpoint;
        return new CheckpointAt(newest.Size, newest.Root.Text);
    }

    DemoLedger LedgerOf(string name) => ledgers.GetValueOrDefault(name) ?? throw Bad($"there is no ledger '{name}'");

    static JsonNode AsNode<T>(T value) => JsonSerializer.SerializeToNode(value, JsonText.Options)!;

    DemoFault Bad(string why) => new(string.Create(CultureInfo.InvariantCulture, $"{line.Where}: {why}."));
}
