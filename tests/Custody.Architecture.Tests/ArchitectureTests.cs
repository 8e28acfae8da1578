namespace Custody.Architecture.Tests;

/// <summary>Each rule twice: the repository keeps it, and a made-up breach is caught.</summary>
public class ArchitectureTests
{
    [Fact]
    public void No_project_knows_another_that_it_must_not() =>
        Assert.Empty(Arrows.Broken(Repository.Read(path => path.EndsWith(".csproj", StringComparison.Ordinal))));

    [Theory]
    [InlineData("Custody.Evidence", """<ProjectReference Include="../Custody.Bats/Custody.Bats.csproj" />""", "Custody.Evidence -> Custody.Bats")]
    [InlineData("Custody.Transparency", """<ProjectReference Include="..\Custody.Evidence\Custody.Evidence.csproj" />""", "Custody.Transparency -> Custody.Evidence")]
    [InlineData("Custody.Bats", """<ProjectReference Include="../Custody.Transparency/Custody.Transparency.csproj" />""", "Custody.Bats -> Custody.Transparency")]
    [InlineData("Custody.Ledger", """<ProjectReference Include="../Custody.Server/Custody.Server.csproj" />""", "Custody.Ledger -> Custody.Server")]
    [InlineData("Custody.Server", """<ProjectReference Include="../Custody.Verifier/Custody.Verifier.csproj" />""", "Custody.Server -> Custody.Verifier")]
    [InlineData("Custody.Verifier", """<ProjectReference Include="../Custody.Server/Custody.Server.csproj" />""", "Custody.Verifier -> Custody.Server")]
    [InlineData("Custody.Bats", """<PackageReference Include="Marten" />""", "Custody.Bats -> package Marten")]
    [InlineData("Custody.Ledger", """<FrameworkReference Include="Microsoft.AspNetCore.App" />""", "Custody.Ledger -> framework Microsoft.AspNetCore.App")]
    [InlineData("Custody.Evidence", """<Compile Include="../Custody.Server/Clock.cs" />""", "Custody.Evidence -> file ../Custody.Server/Clock.cs")]
    [InlineData("Custody.Extras", "", "Custody.Extras: a project that the layout does not know")]
    public void A_forbidden_arrow_is_caught(string project, string item, string breach)
    {
        var sample = new SourceFile($"src/{project}/{project}.csproj", $"""<Project Sdk="Microsoft.NET.Sdk"><ItemGroup>{item}</ItemGroup></Project>""");

        Assert.Equal([breach], Arrows.Broken([sample]));
    }

    [Fact]
    public void References_do_not_leak_through_other_projects() =>
        Assert.Contains("<DisableTransitiveProjectReferences>true</DisableTransitiveProjectReferences>",
            File.ReadAllText(Path.Combine(Repository.Root, "Directory.Build.props")), StringComparison.Ordinal);

    [Fact]
    public void Pure_projects_take_no_clock_chance_network_database_or_logger()
    {
        var files = Repository.Read(path => Purity.IsPure(path) || Purity.IsChecker(path)).ToList();

        Assert.True(files.Count > 50, $"only {files.Count} files were looked at");
        Assert.Empty(Purity.Broken(files));
    }

    [Theory]
    [InlineData("var now = DateTime.Now;", "DateTime.Now")]
    [InlineData("var now = System.DateTime.UtcNow;", "DateTime.UtcNow")]
    [InlineData("var now = DateTimeOffset.UtcNow;", "DateTimeOffset.UtcNow")]
    [InlineData("var since = Stopwatch.StartNew();", "Stopwatch")]
    [InlineData("var n = new Random(1);", "Random")]
    [InlineData("RandomNumberGenerator.Fill(salt);", "RandomNumberGenerator")]
    [InlineData("var id = Guid.NewGuid();", "Guid.NewGuid")]
    [InlineData("using var client = new HttpClient();", "HttpClient")]
    [InlineData("using Npgsql;", "Npgsql")]
    [InlineData("void Log(ILogger<int> log) { }", "ILogger")]
    [InlineData("Console.WriteLine();", "Console.")]
    [InlineData("var text = $\"it is {DateTime.Now}\";", "DateTime.Now")]
    [InlineData("var address = \"https://example.org\"; var id = Guid.NewGuid();", "Guid.NewGuid")]
    public void A_pure_project_that_reaches_out_is_caught(string code, string breach)
    {
        foreach (var project in new[] { "Evidence", "Bats", "Transparency", "Ledger" })
            Assert.Equal([$"src/Custody.{project}/Some/Act.cs: {breach}"], Purity.Broken([new($"src/Custody.{project}/Some/Act.cs", code)]));
    }

    [Fact]
    public void Talking_about_a_clock_in_a_comment_is_no_breach_and_a_server_may_have_one() =>
        Assert.Empty(Purity.Broken(
        [
            new("src/Custody.Bats/Some/Act.cs", "// never DateTime.Now\n/* nor\n Random */ var a = 1; /// <see cref=\"Stopwatch\"/>"),
            new("src/Custody.Server/Some/Act.cs", "var now = DateTimeOffset.UtcNow;"),
        ]));

    [Theory]
    [InlineData("using System.Net.Http;", "System.Net.Http")]
    [InlineData("using Npgsql;", "Npgsql")]
    public void A_checker_that_reaches_a_network_or_database_is_caught(string code, string breach) =>
        Assert.Equal([$"src/Custody.Verifier/Program.cs: {breach}"], Purity.Broken([new("src/Custody.Verifier/Program.cs", code + " Console.WriteLine();")]));

    [Fact]
    public void The_checker_has_one_doorway_to_a_network_and_no_second() => Assert.Equal(
        ["src/Custody.Verifier/SavedLog.cs: HttpClient"],
        Purity.Broken([new("src/Custody.Verifier/WebLog.cs", "HttpClient a;"), new("src/Custody.Verifier/SavedLog.cs", "HttpClient a;")]));

    [Fact]
    public void Inside_the_server_acts_leave_the_log_alone_and_the_log_leaves_pages_alone() =>
        Assert.Empty(InsideServer.Broken([.. Repository.Read(InsideServer.Concerns)]));

    [Theory]
    [InlineData("HandingOver/Release.cs", "using Custody.Server.Log;", "Custody.Server.Log")]
    [InlineData("HandingOver/Release.cs", "var d = new Custody.Server.Dossiers.Writer();", "Custody.Server.Dossiers")]
    [InlineData("HandingOver/Release.cs", "using Custody.Server.Labels;", "Custody.Server.Labels")]
    [InlineData("HandingOver/Release.cs", "var s = new Log.Sequencer();", "Log.Sequencer")]
    [InlineData("HandingOver/Release.cshtml", "@using Custody.Server.Log", "Custody.Server.Log")]
    [InlineData("Web/Usings.cs", "global using Custody.Server.Log;", "global using Custody.Server.Log")]
    [InlineData("Log/Tiles.cs", "class Tiles : PageModel { }", "PageModel")]
    [InlineData("Log/Tiles.cs", "using Custody.Server.Search;", "Custody.Server.Search")]
    public void A_short_cut_inside_the_server_is_caught(string path, string code, string breach)
    {
        SourceFile[] around =
        [
            new("src/Custody.Bats/HandingOver/Release.cs", ""),
            new("src/Custody.Server/Log/Sequencer.cs", "namespace Custody.Server.Log; sealed class Sequencer { }"),
            new("src/Custody.Server/Search/Find.cshtml", "<p>found</p>"),
        ];

        Assert.Equal([$"src/Custody.Server/{path}: {breach}"], InsideServer.Broken([.. around, new($"src/Custody.Server/{path}", code)]));
    }

    [Fact]
    public void The_top_level_holds_only_what_it_should_and_the_solution_every_project() =>
        Assert.Empty(Layout.Broken(Repository.Files, File.ReadAllText(Path.Combine(Repository.Root, "Custody.sln"))));

    [Theory]
    [InlineData("NOTES.md", "top level: NOTES.md")]
    [InlineData("scripts/build.sh", "top level: scripts")]
    [InlineData("Directory.Build.targets", "top level: Directory.Build.targets")]
    [InlineData("src/Custody.Forgotten/Custody.Forgotten.csproj", "not in the solution: src/Custody.Forgotten/Custody.Forgotten.csproj")]
    public void A_stray_file_or_a_forgotten_project_is_caught(string file, string breach) =>
        Assert.Equal([breach], Layout.Broken(
            ["README.md", ".editorconfig", ".ci/run", "Directory.Packages.props", "ops/check.sh", "src/Custody.Bats/Custody.Bats.csproj", file],
            @"Project(""{0}"") = ""Custody.Bats"", ""src\Custody.Bats\Custody.Bats.csproj"""));
}
