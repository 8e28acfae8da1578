using System.CommandLine;
using Custody.Server.Operating;

namespace Custody.Server.Tests.Operating;

public sealed class HelpTests
{
    [Fact]
    public void Every_command_says_what_it_does_and_what_each_of_its_options_means()
    {
        var told = 0;
        foreach (var (path, command) in Walk([], CommandLine.Root()))
        {
            using StringWriter output = new();
            using StringWriter errors = new();
            Assert.Equal(0, CommandLine.Root().Parse([.. path, "--help"]).Invoke(new() { Output = output, Error = errors }));
            Assert.Equal("", errors.ToString());
            var said = string.Join(' ', path);
            Assert.False(string.IsNullOrWhiteSpace(command.Description), said);
            Assert.Contains(command.Description!.Split(' ')[0], output.ToString(), StringComparison.Ordinal);
            foreach (var symbol in command.Options.Cast<Symbol>().Concat(command.Arguments).Concat(command.Subcommands).Where(s => !s.Hidden))
            {
                Assert.False(string.IsNullOrWhiteSpace(symbol.Description), $"{said} {symbol.Name} says nothing.");
                Assert.Contains(symbol.Name, output.ToString(), StringComparison.Ordinal);
            }
            told++;
        }
        Assert.True(told > 40, $"{told} commands");
    }

    static IEnumerable<(string[] Path, System.CommandLine.Command Command)> Walk(string[] path, System.CommandLine.Command command) =>
        command.Subcommands.SelectMany(sub => Walk([.. path, sub.Name], sub)).Prepend((path, command));
}
