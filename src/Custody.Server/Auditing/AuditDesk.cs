using System.Threading.Channels;
using Custody.Server.Recording;
using Npgsql;

namespace Custody.Server.Auditing;

/// <summary>An audit as it is asked for.</summary>
/// <param name="Record">Whether its result becomes an entry of the ledger's own stream.</param>
/// <param name="By">Who asks; recorded withheld.</param>
public sealed record AuditWish(AuditScope Scope, bool Record, string By);

/// <summary>An audit under way.</summary>
/// <param name="Says">How far it has come, in its own words.</param>
public sealed record AuditUnderWay(DateTimeOffset Began, string Says);

/// <summary>Audits asked for from a page: one at a time, in the background, so that the page can be left; the result of the last one is kept.</summary>
public sealed partial class AuditDesk(Auditor auditor, AuditRecord record, LedgerPlace place, TimeProvider clock, ILogger<AuditDesk> log) : BackgroundService
{
    // One at a time on all nodes: an audit reads everything there is.
    internal const long Lock = 0x637573746f6175;

    readonly Channel<AuditWish> asked = Channel.CreateBounded<AuditWish>(1);
    AuditUnderWay? underWay;

    public AuditUnderWay? UnderWay => Volatile.Read(ref underWay);

    public LastAudit? Last => LastAudit.Read(place);

    /// <summary>Asks for an audit; false when one is under way already.</summary>
    public bool Ask(AuditWish wish)
    {
        if (Interlocked.CompareExchange(ref underWay, new(clock.GetUtcNow(), "about to begin"), null) is not null) return false;
        return asked.Writer.TryWrite(wish);
    }

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        await foreach (var wish in asked.Reader.ReadAllAsync(stoppingToken))
        {
            var began = UnderWay!.Began;
            try
            {
                (await Run(wish, began, stoppingToken)).Keep(place);
            }
            catch (Exception thrown) when (thrown is not OperationCanceledException)
            {
                NotDone(log, thrown);
                new LastAudit(began, clock.GetUtcNow(), null, false, $"It could not be done ({thrown.GetType().Name}). The server's log says more.").Keep(place);
            }
            finally
            {
                Volatile.Write(ref underWay, null);
            }
        }
    }

    async Task<LastAudit> Run(AuditWish wish, DateTimeOffset began, CancellationToken ct)
    {
        await using var connection = await Store.OpenOutsideThePool(place.ConnectionString, ct);
        await using NpgsqlCommand command = new($"select pg_try_advisory_lock({Lock})", connection);
        if (!(bool)(await command.ExecuteScalarAsync(ct))!) return new(began, clock.GetUtcNow(), null, false, "Another node of this ledger is auditing now.");
        var found = await auditor.Run(wish.Scope, new Told(this), ct);
        var refused = wish.Record ? await record.Record(found, wish.By, null, ct) : null;
        return new(began, clock.GetUtcNow(), AuditFigures.Of(found), wish.Record && refused is null, refused is null ? null : $"{refused.Sentence} {refused.Remedy}");
    }

    // Straight to the page's state: Progress<T> would report from other threads, after the end.
    sealed class Told(AuditDesk desk) : IProgress<string>
    {
        public void Report(string value)
        {
            if (desk.UnderWay is { } now) Volatile.Write(ref desk.underWay, now with { Says = value });
        }
    }

    [LoggerMessage(Level = LogLevel.Error, Message = "An audit asked for from a page could not be done.")]
    static partial void NotDone(ILogger log, Exception thrown);
}
