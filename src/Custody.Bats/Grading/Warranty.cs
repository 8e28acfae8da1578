namespace Custody.Bats;

/// <summary>What is said wherever an opinion or a number stands.</summary>
public static class Warranty
{
    public const string Text =
        "An opinion is not a warranty of authorship, value or title; questions of title and value belong to licensed practice and local law.";
}
