namespace Custody.Transparency.Tests;

/// <summary>What a reader says of bad input.</summary>
static class Refused
{
    /// <summary>The act throws <see cref="Malformed"/> with exactly this code.</summary>
    internal static Malformed With(string code, Action act)
    {
        var refusal = Assert.Throws<Malformed>(act);
        Assert.Equal(code, refusal.Code);
        return refusal;
    }

    internal static Malformed With(string code, Func<object?> act) => With(code, () => { act(); });
}
