using System.Text;
using static Custody.Transparency.Tests.NoteKeys;

namespace Custody.Transparency.Tests;

/// <summary>c2sp.org/tlog-policy.</summary>
public class CosignPolicyTests
{
    static VerifierKey Key(int seed)
    {
        using var key = Signer($"cosigner-{seed}.example", (byte)seed, VerifierKey.Cosignature);
        return key.Verifier;
    }

    static VerifierKey Log(int seed)
    {
        using var key = Signer("ledger.example", (byte)seed);
        return key.Verifier;
    }

    static CosignPolicy Parse(string text) => CosignPolicy.Parse(Encoding.UTF8.GetBytes(text));

    // The example policy of the specification: two of three X and one of three Y.
    static readonly CosignPolicy TwoLevels = Parse(
        $"# who counts\n\nlog {Log(9)} https://ledger.example/\n"
        + string.Concat(Enumerable.Range(1, 3).Select(i => $"witness X{i} {Key(i)}\n")) + "group X-witnesses 2 X1 X2 X3\n\n"
        + string.Concat(Enumerable.Range(1, 3).Select(i => $" \twitness Y{i} {Key(i + 3)} https://y{i}.example/cosign\n")) + "group Y-witnesses any Y1 Y2 Y3\n"
        + "group X-and-Y all X-witnesses Y-witnesses\nquorum X-and-Y");

    [Theory]
    [InlineData(false, 1, 2)]
    [InlineData(false, 1, 4)]
    [InlineData(true, 1, 2, 4)]
    [InlineData(true, 2, 3, 6)]
    [InlineData(false, 4, 5, 6)]
    [InlineData(true, 1, 2, 3, 4, 5, 6)]
    [InlineData(false)]
    public void A_quorum_of_groups_is_met_or_not(bool met, params int[] cosigned) =>
        Assert.Equal(met, TwoLevels.IsSatisfiedBy(cosigned.Select(Key)));

    [Fact]
    public void Logs_and_cosigners_are_read_with_their_addresses()
    {
        Assert.Equal((Log(9), "https://ledger.example/"), (TwoLevels.Logs[0].Key, TwoLevels.Logs[0].Url));
        Assert.Equal(["X1", "X2", "X3", "Y1", "Y2", "Y3"], TwoLevels.Cosigners.Select(c => c.Name));
        Assert.Null(TwoLevels.Cosigners[0].Url);
        Assert.Equal("https://y1.example/cosign", TwoLevels.Cosigners[3].Url);
        Assert.True(TwoLevels.AsksForCosigners);
    }

    [Fact]
    public void Quorum_none_asks_for_nobody()
    {
        Assert.False(Parse("quorum none\n").AsksForCosigners);
        Assert.True(Parse("quorum none\n").IsSatisfiedBy([]));
    }

    [Fact]
    public void One_cosigner_can_be_the_quorum()
    {
        var policy = Parse($"witness W {Key(1)}\nquorum W\n");
        Assert.True(policy.IsSatisfiedBy([Key(1)]));
        Assert.False(policy.IsSatisfiedBy([Key(2)]));
    }

    public static TheoryData<string> Broken =>
    [
        "", "quorum W\n", "quorum none\nquorum none\n", "hello\n", "quorum\n", "quorum none more\n", $"witness none {Key(1)}\nquorum none\n",
        $"witness W {Key(1)}\nwitness W {Key(2)}\nquorum W\n", $"witness W {Key(1)}\nwitness V {Key(1)}\nquorum W\n",
        $"log {Log(1)}\nlog {Log(1)}\nquorum none\n", $"log {Key(1)}\nquorum none\n", $"witness W {Log(1)}\nquorum none\n",
        $"witness W {Key(1)}\ngroup G 2 W\nquorum G\n", $"witness W {Key(1)}\ngroup G 0 W\nquorum G\n", $"witness W {Key(1)}\ngroup G some W\nquorum G\n",
        $"witness W {Key(1)}\ngroup G any\nquorum G\n", $"group G any W\nwitness W {Key(1)}\nquorum G\n", $"witness W {Key(1)}\ngroup G any G\nquorum G\n",
        $"witness W {Key(1)}\ngroup G any W\ngroup H any W\nquorum H\n", $"witness W {Key(1)}\ngroup G any W W\nquorum G\n", $"witness W {Key(1)}\ngroup G any none\nquorum G\n",
        "quorum none\r\n", "quorum none\0\n", "quorum\u00a0none\n",
    ];

    [Theory]
    [MemberData(nameof(Broken))]
    public void A_policy_with_one_thing_wrong_is_refused_and_its_line_named(string text) => Refused.With("policy", () => Parse(text));
}
