namespace Custody.Transparency;

/// <summary>Bytes that are not what a standard says they must be. The only exception the readers of this project throw for bad input.</summary>
/// <param name="code">Stable dotted word for programs, such as <c>json.duplicate-name</c>; never changes its meaning.</param>
/// <param name="sentence">One English sentence for people; may change.</param>
/// <param name="offset">Where it was noticed, in bytes (characters for short texts) from the start; -1 when no place applies.</param>
public sealed class Malformed(string code, string sentence, long offset = -1) : Exception(sentence)
{
    /// <summary>Stable dotted word for programs.</summary>
    public string Code { get; } = code;

    /// <summary>One English sentence for people.</summary>
    public string Sentence => Message;

    /// <summary>Bytes (characters for short texts) from the start, or -1.</summary>
    public long Offset { get; } = offset;
}
