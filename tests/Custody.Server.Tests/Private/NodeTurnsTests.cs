using Custody.Server.Private;

namespace Custody.Server.Tests.Private;

public sealed class NodeTurnsTests : IDisposable
{
    readonly string folder = Directory.CreateTempSubdirectory("custody-turns-").FullName;

    public void Dispose() => Directory.Delete(folder, recursive: true);

    [Fact]
    public void A_turn_is_one_callers_until_it_is_let_go()
    {
        var turns = NodeTurns.In(folder);
        using (Assert.IsAssignableFrom<IDisposable>(turns.TryTake("a")))
        {
            Assert.Null(turns.TryTake("a"));
            using var other = turns.TryTake("b");
            Assert.NotNull(other);
        }
        using var again = turns.TryTake("a");
        Assert.NotNull(again);
    }

    [Fact]
    public async Task Who_waits_for_a_turn_that_nobody_lets_go_is_told_so()
    {
        using var held = NodeTurns.In(folder).TryTake("a");
        await Assert.ThrowsAsync<IOException>(() => NodeTurns.In(folder).Take("a", TimeSpan.FromMilliseconds(40), TestContext.Current.CancellationToken));
    }

    [Fact]
    public void Only_what_a_node_that_is_gone_left_is_swept()
    {
        var turns = NodeTurns.In(folder);
        var shared = Path.Combine(folder, "shared");
        var (mine, dead) = (Path.Combine(shared, turns.Self, "in hand"), Path.Combine(shared, Guid.NewGuid().ToString("N"), "left"));
        Directory.CreateDirectory(mine);
        Directory.CreateDirectory(dead);
        turns.SweepAfterTheDead(shared);
        Assert.True(Directory.Exists(mine));
        Assert.Equal([Path.Combine(shared, turns.Self)], Directory.EnumerateDirectories(shared));
    }
}
