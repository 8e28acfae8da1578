namespace Custody.Server.Database;

/// <summary>
/// The server has no database to work on. <see cref="Code"/> is stable and for programs; <see cref="Sentence"/> says what
/// is wrong and <see cref="Remedy"/> what to do, both for whoever started the program. Print <see cref="Exception.Message"/>
/// and end with <see cref="ExitCode"/>; nothing half made is left behind.
/// </summary>
public sealed class DatabaseUnavailable(string code, string sentence, string remedy, Exception? inner = null)
    : Exception($"{sentence} {remedy}", inner)
{
    /// <summary>What a command that ends for want of a database returns to its caller.</summary>
    public const int ExitCode = 3;

    public string Code { get; } = code;
    public string Sentence { get; } = sentence;
    public string Remedy { get; } = remedy;
}
