using System.Diagnostics.Metrics;
using Custody.Bats;
using Custody.Server.Recording;

namespace Custody.Server.Observing;

/// <summary>What is counted of acts: kinds and codes, never a stream, a party or anything that somebody typed.</summary>
static class Meters
{
    /// <summary>Name of this program's own meter.</summary>
    public const string Name = "Custody";

    static readonly Meter Own = new(Name);
    static readonly Counter<long> Acts = Own.CreateCounter<long>("custody.acts", "{act}", "Commands by kind and outcome; a refusal carries its code.");

    /// <summary>Counts a command and gives its outcome on.</summary>
    public static Outcome Count(Command command, Outcome outcome)
    {
        var kind = new KeyValuePair<string, object?>("custody.act", command.GetType().Name);
        var how = new KeyValuePair<string, object?>("custody.outcome", outcome switch
        {
            Recorded { Again: true } => "repeated",
            Recorded => "recorded",
            Refused => "refused",
            Conflicted => "conflicted",
            _ => "unknown",
        });
        if (outcome is Refused { Refusals: [var refusal, ..] }) Acts.Add(1, kind, how, new("custody.refusal", refusal.Code));
        else Acts.Add(1, kind, how);
        return outcome;
    }
}
