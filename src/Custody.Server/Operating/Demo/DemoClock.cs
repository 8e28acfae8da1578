using System.Globalization;

namespace Custody.Server.Operating.Demo;

/// <summary>The clock of a demo: it stands where the story stands, so that a history of decades is recorded in seconds. It never runs ahead
/// of the real one.</summary>
sealed class DemoClock : TimeProvider
{
    // Ticks, so that the sequencer's thread reads it whole; 0 stands for the real clock.
    long told;

    /// <summary>Stands still at this instant until the next one.</summary>
    /// <exception cref="DemoFault">The instant lies in the future.</exception>
    public void SetTo(DateTimeOffset at)
    {
        if (at > System.GetUtcNow())
            throw new DemoFault(string.Create(CultureInfo.InvariantCulture, $"The story's clock, {at:yyyy-MM-dd}, is ahead of this machine's. Set the machine's clock."));
        Interlocked.Exchange(ref told, at.UtcTicks);
    }

    /// <summary>Goes on with the real time: the story is over.</summary>
    public void Release() => Interlocked.Exchange(ref told, 0);

    public override DateTimeOffset GetUtcNow() =>
        Interlocked.Read(ref told) is var ticks and not 0 ? new DateTimeOffset(ticks, TimeSpan.Zero) : System.GetUtcNow();
}

/// <summary>The demo cannot go on; the sentence says where and why.</summary>
sealed class DemoFault(string sentence) : Exception(sentence);
