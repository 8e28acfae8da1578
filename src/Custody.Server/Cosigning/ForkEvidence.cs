using System.Text;
using Custody.Ledger;
using Custody.Transparency;

namespace Custody.Server.Cosigning;

/// <summary>A request that was refused because the ledger's tree is not the one cosigned before, kept with the checkpoint that was.</summary>
/// <param name="Cosigned">The checkpoint cosigned last, as the ledger signed it.</param>
/// <param name="Request">What was sent then.</param>
/// <param name="Proof">The two as a proof of misconduct that needs nobody's word; null when they prove nothing by themselves, such as an honest checkpoint with
/// a proof that leads nowhere.</param>
public sealed record ForkEvidence(string Origin, DateTimeOffset Seen, string Cosigned, AddCheckpoint Request, Misconduct? Proof)
{
    /// <summary>The proof that a checkpoint cosigned and a request make together.</summary>
    /// <param name="keys">Keys of the ledger.</param>
    public static Misconduct? Prove(IEnumerable<VerifierKey> keys, string cosigned, AddCheckpoint request)
    {
        var earlier = SignedNote.Parse(Encoding.UTF8.GetBytes(cosigned));
        if (keys.FirstOrDefault(k => CosignRules.Convicts(k, earlier, request)) is not { } key) return null;
        var (first, second) = (Checkpoint.Read(earlier), Checkpoint.Read(request.Checkpoint));
        var proof = new Misconduct(MisconductKind.TwoTrees, key, [cosigned, Encoding.UTF8.GetString(request.Checkpoint.ToArray())]);
        return first.Size == second.Size ? proof
            : proof with { Prefix = Merkle.EarlierRoot(first.Size, second.Size, second.Root, request.Proof), Consistency = request.Proof };
    }
}
