namespace Custody.Transparency.Tests;

/// <summary>The independent verifier of a log kept as files, go/verify.go.</summary>
public sealed class GoVerifier() : GoProgram("verify.go")
{
    /// <summary>Runs it over a folder.</summary>
    public (int Code, string Output) Verify(string log)
    {
        using var process = Start(log);
        return ToEnd(process);
    }
}
