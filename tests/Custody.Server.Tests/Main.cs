using Custody.Server.Tests.Database;
using Xunit.Runner.InProc.SystemConsole;

// The runner starts this program; some tests start it too, as a second process that holds a database.
return args is [Holder.Verb, ..] ? await Holder.RunAsync(args) : await ConsoleRunner.Run(args);
