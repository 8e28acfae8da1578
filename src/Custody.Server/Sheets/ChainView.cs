using Custody.Bats;

namespace Custody.Server.Sheets;

/// <summary>A chain with its drawing.</summary>
/// <param name="Of">title or custody.</param>
public sealed record ChainView(HoldingChain Chain, Lanes Drawn, string Of);

/// <summary>A drawing of bars with what it shows, for those who do not see it.</summary>
public sealed record LanesView(Lanes Drawn, string Title);
