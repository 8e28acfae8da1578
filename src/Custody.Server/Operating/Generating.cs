using Custody.Server.Recording;
using Custody.Server.Web;
using JasperFx;

namespace Custody.Server.Operating;

/// <summary>Writes the endpoint adaptors that are committed under Internal/Generated, so that the first request needs no compiler.</summary>
static class Generating
{
    public static Task<int> Run(string[] args)
    {
        Environment.SetEnvironmentVariable(Configuring.Settings.CodeGeneration.Name, "write");
        // Nothing is opened: the place is never reached.
        var place = new LedgerPlace("ledger.example", "Host=127.0.0.1;Database=none", Directory.CreateTempSubdirectory("custody-codegen-").FullName);
        return WebHost.Build(place, []).RunJasperFxCommands(args);
    }
}
