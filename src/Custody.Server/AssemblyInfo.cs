using System.Runtime.CompilerServices;

[assembly: InternalsVisibleTo("Custody.Server.Tests")]
[assembly: InternalsVisibleTo("Custody.Benchmarks")]
[assembly: InternalsVisibleTo("Custody.Browser.Tests")]
