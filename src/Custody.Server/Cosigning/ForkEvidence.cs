using Custody.Ledger;
using Custody.Transparency;

namespace Custody.Server.Cosigning;

/// <summary>A request that was refused because the ledger's tree is not the one cosigned before, kept with the checkpoint that was.</summary>
/// <param name="Cosigned">The checkpoint cosigned last, as the ledger signed it.</param>
/// <param name="Request">What was sent then.</param>
/// <param name="Proof">The two as a proof of misconduct that needs nobody's word; null when they prove nothing by themselves, such as an honest checkpoint with
/// a proof that leads nowhere.</param>
public sealed record ForkEvidence(string Origin, DateTimeOffset Seen, string Cosigned, AddCheckpoint Request, Misconduct? Proof);
