namespace Custody.Benchmarks;

/// <summary>How much is measured.</summary>
/// <param name="Rounds">Rounds of each kind of append, kinds in turn.</param>
/// <param name="Window">Length of one round.</param>
/// <param name="Warmup">Unmeasured run of each kind before its rounds.</param>
/// <param name="Bats">Bats that the writers share out among themselves.</param>
/// <param name="Behind">How long the sequencer runs behind writers at full rate.</param>
/// <param name="Leaves">Leaves ordered when its speed alone is measured.</param>
/// <param name="Events">Events in the history that is rebuilt.</param>
/// <param name="Pictures">Photographs of 4 MiB each in the large dossier that is checked.</param>
/// <param name="Opinions">Stored opinions that are computed again.</param>
/// <param name="Tree">Leaves of the tree from which proofs are read.</param>
/// <param name="Commits">Entries committed to git.</param>
/// <param name="Stored">Bats of forty entries whose storage is measured.</param>
/// <param name="Asks">How often each page is asked for.</param>
sealed record Plan(int Rounds, TimeSpan Window, TimeSpan Warmup, int Bats, TimeSpan Behind, int Leaves, int Events, int Pictures, int Opinions,
    int Tree, int Commits, int Stored, int Asks)
{
    public static Plan Of(bool quick, int events)
    {
        var plan = quick
            ? new Plan(3, TimeSpan.FromSeconds(0.7), TimeSpan.FromSeconds(1), 96, TimeSpan.FromSeconds(2), 20_000, 40_000, 64, 1_000, 100_000, 40, 16, 40)
            : new Plan(5, TimeSpan.FromSeconds(1.5), TimeSpan.FromSeconds(2), 320, TimeSpan.FromSeconds(6), 100_000, 500_000, 512, 10_000, 10_000_000, 1_000, 250, 200);
        return events > 0 ? plan with { Events = events } : plan;
    }
}
