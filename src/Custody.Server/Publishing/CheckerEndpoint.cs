using Custody.Ledger;
using Custody.Server.Accounts;
using Wolverine.Http;

namespace Custody.Server.Publishing;

/// <summary>The offline checker page, to be saved and kept.</summary>
[Anybody]
public static class CheckerEndpoint
{
    /// <summary>The page as a file to save: it works from the reader's disk, and what is checked never comes here.</summary>
    [WolverineGet("/checker")]
    public static IResult Get() => Results.File(CheckerPage.Bytes.ToArray(), "text/html; charset=utf-8", CheckerPage.FileName);
}
