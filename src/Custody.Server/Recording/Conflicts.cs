using JasperFx;
using JasperFx.Events;
using Marten.Exceptions;
using Npgsql;

namespace Custody.Server.Recording;

/// <summary>A lost race shows itself as any of several exceptions, some of them wrapped; one place knows them all.</summary>
static class Conflicts
{
    public static bool IsConflict(Exception thrown) => thrown switch
    {
        AggregateException many => many.InnerExceptions.Any(IsConflict),
        ConcurrencyException or EventStreamUnexpectedMaxEventIdException => true,
        PostgresException { SqlState: PostgresErrorCodes.UniqueViolation or PostgresErrorCodes.SerializationFailure or PostgresErrorCodes.DeadlockDetected } => true,
        _ when thrown.GetType().Name.Contains("ExistingStreamIdCollision", StringComparison.Ordinal) => true,
        { InnerException: { } inner } => IsConflict(inner),
        _ => false,
    };
}
