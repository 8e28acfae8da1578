using Custody.Server.Labels;

namespace Custody.Server.Tests.Labels;

static class SampleLabels
{
    const string Crockford = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";

    public static LabelFace Face(int seed, string host = "CUSTODY.EXAMPLE.ORG", string house = "Tamsin Oak House")
    {
        var random = new Random(seed);
        var token = string.Concat(Enumerable.Range(0, 25).Select(_ => Crockford[random.Next(32)])) + Crockford[4 * random.Next(8)];
        return new($"https://{host}/L/{token}", FormattableString.Invariant($"B-{seed:0000}-7Q"), house, FormattableString.Invariant($"S-{seed:0000}"));
    }

    public static IReadOnlyList<LabelFace> Faces(int count) => [.. Enumerable.Range(1, count).Select(seed => Face(seed))];
}
