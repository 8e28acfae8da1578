using Microsoft.AspNetCore.Identity;

namespace Custody.Server.Accounts;

/// <summary>Refuses passwords that are tried first (NIST SP 800-63B-4 section 3.1.1.2: repetitions, sequences, words of the context). Lists of known passwords
/// hold next to none of fifteen characters that is none of these.</summary>
public sealed class PlainPasswords : IPasswordValidator<Account>
{
    // So much must be left when the words that anybody would try are taken out. Common practice.
    const int LeastOfOnesOwn = 8;

    static readonly string[] OfTheContext = ["custody", "password", "baseball", "welcome", "letmein", "qwertyuiop", "qwerty"];

    public Task<IdentityResult> ValidateAsync(UserManager<Account> manager, Account user, string? password) =>
        Task.FromResult(WhyNot(password ?? "", [user.UserName ?? "", user.ShownName, .. OfTheContext]) is { } why
            ? IdentityResult.Failed(new IdentityError { Code = "PasswordPlain", Description = why })
            : IdentityResult.Success);

    /// <summary>Why a password is too plain; null when it is not.</summary>
    /// <param name="words">Words that anybody would try for this account.</param>
    public static string? WhyNot(string password, IEnumerable<string> words)
    {
        var said = password.ToLowerInvariant();
        if (Repeats(said)) return "The password repeats one part. Choose several words that do not belong together.";
        if (Counts(said)) return "The password counts up or down. Choose several words that do not belong together.";
        foreach (var word in words.Where(w => w.Length >= 3)) said = said.Replace(word.ToLowerInvariant(), "", StringComparison.Ordinal);
        return said.Replace(" ", "", StringComparison.Ordinal).Length < LeastOfOnesOwn
            ? "Little of the password is left without names and words that anybody would try. Choose several words that mean something only to you." : null;
    }

    static bool Repeats(string said) => Enumerable.Range(1, said.Length / 2).Any(part => Enumerable.Range(part, said.Length - part).All(i => said[i] == said[i - part]));

    static bool Counts(string said) => said.Length > 1 && Enumerable.Range(1, said.Length - 1).Count(i => Math.Abs(said[i] - said[i - 1]) <= 1) * 5 >= (said.Length - 1) * 4;
}
