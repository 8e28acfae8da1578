using System.Diagnostics;
using Custody.Transparency.Tests;

namespace Custody.Server.Tests.Log;

/// <summary>A client that nobody here wrote the tree, note and proof code of: go/follow.go, built once.</summary>
public sealed class GoFollower() : GoProgram("follow.go")
{
    public Following Follow(string url, string vkey) => new(Start(url, vkey));

    /// <summary>One running follower. Disposed, it has ended.</summary>
    public sealed class Following(Process process) : IDisposable
    {
        /// <summary>Has it look once.</summary>
        /// <returns>What it answered; when it gave up, its reason.</returns>
        public string Look()
        {
            process.StandardInput.WriteLine("look");
            process.StandardInput.Flush();
            return process.StandardOutput.ReadLine() ?? $"exit {End().Code}: {Said}";
        }

        /// <summary>What it said at its end.</summary>
        public string Said { get; private set; } = "";

        (int Code, string Output) End()
        {
            var (code, said) = ToEnd(process);
            Said = said.Trim();
            return (code, said);
        }

        public void Dispose()
        {
            if (!process.HasExited) End();
            process.Dispose();
        }
    }
}
