using System.Security.Cryptography;
using Custody.Bats;
using Custody.Server.Recording;
using Custody.Server.Tests.Database;
using Custody.Transparency;
using Microsoft.Extensions.DependencyInjection;
using Npgsql;

namespace Custody.Server.Tests.Recording;

/// <summary>One ledger on a real database, without a web server: the services the acts use, and a clock the test moves.</summary>
public sealed class LedgerForTests : IAsyncDisposable
{
    readonly ServiceProvider services;

    LedgerForTests(ServiceProvider services, LedgerPlace place) => (this.services, Place) = (services, place);

    public LedgerPlace Place { get; }
    public FakeClock Clock => (FakeClock)services.GetRequiredService<TimeProvider>();
    public Recorder Recorder => services.GetRequiredService<Recorder>();

    public T Get<T>() where T : notnull => services.GetRequiredService<T>();

    public static async Task<LedgerForTests> Open(PostgresForTests postgres)
    {
        return await Open(new LedgerPlace("ledger.example", postgres.ConnectionString, Directory.CreateTempSubdirectory("custody-test-").FullName, "l" + Guid.NewGuid().ToString("n")[..12]));
    }

    /// <summary>A second process on the same ledger, as after a crash: nothing is shared but the database and the folder.</summary>
    public Task<LedgerForTests> Again() => Open(Place);

    static async Task<LedgerForTests> Open(LedgerPlace place)
    {
        ServiceCollection services = new();
        services.AddLogging();
        services.AddSingleton<TimeProvider>(new FakeClock());
        services.AddLedger(place);
        var built = services.BuildServiceProvider();
        await built.PrepareDatabase(CancellationToken.None);
        return new LedgerForTests(built, place);
    }

    /// <summary>Records a party who speaks for themselves.</summary>
    public async Task<PartyId> Party(string name)
    {
        var party = new PartyId(Fresh("party"));
        Done(await Recorder.Record(party.Stream, new RecordParty(PartyKind.Person, name, null, null, null, null) { By = party }, new Request(), default));
        return party;
    }

    /// <summary>Registers a bat that its owner has and owns.</summary>
    public async Task<StreamName> Bat(PartyId owner)
    {
        var bat = Fresh("bat");
        var number = bat.Id[..7];
        Done(await Recorder.Record(bat, new RegisterBat(
            number + CheckCharacter.Compute(number), Arrival.BroughtIn, owner, owner, AssertionBasis.HoldersWord, [new(owner, Fraction.Whole)], AssertionBasis.HoldersWord,
            "a bat with a taped handle", null, null)
        { By = owner }, new Request(), default));
        return bat;
    }

    public static ReleaseBat Release(PartyId by, PartyId to) =>
        new(to, HandoverPurpose.Return, Attestation.Account, null, null, null, null, null, null, null, null) { By = by };

    public static StreamName Fresh(string kind) => StreamName.Parse($"{kind}/{Crockford.Encode(RandomNumberGenerator.GetBytes(16))}");

    public async Task<object?> Scalar(string sql)
    {
        await using var command = Get<NpgsqlDataSource>().CreateCommand(sql);
        return await command.ExecuteScalarAsync();
    }

    static void Done(Outcome outcome) => Assert.True(outcome is Recorded, outcome is Refused refused ? refused.Refusals[0].ToString() : outcome.ToString());

    public async ValueTask DisposeAsync()
    {
        await services.DisposeAsync();
        if (Directory.Exists(Place.DataFolder)) Directory.Delete(Place.DataFolder, recursive: true);
    }
}

/// <summary>A clock that stands still until the test moves it.</summary>
public sealed class FakeClock : TimeProvider
{
    public DateTimeOffset Now { get; set; } = new(2024, 3, 1, 9, 0, 0, TimeSpan.Zero);

    public override DateTimeOffset GetUtcNow() => Now;
}
