using System.Globalization;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using Custody.Server.Cosigning;

namespace Custody.Server.Stamping;

/// <summary>Which authority stamps checkpoints (RFC 3161), and how often.</summary>
/// <param name="Address">Its address; null when there is none.</param>
/// <param name="Roots">Its root certificates: an answer that leads to none of them is not kept. Without any, every sound stamp is kept, for readers to judge.</param>
/// <param name="Every">Least time between two stamps.</param>
public sealed record StampSettings(string? Address, IReadOnlyList<X509Certificate2> Roots, TimeSpan Every)
{
    public const string AddressVariable = "CUSTODY_TIMESTAMP_URL", RootsVariable = "CUSTODY_TIMESTAMP_ROOTS", HoursVariable = "CUSTODY_TIMESTAMP_HOURS";

    /// <exception cref="InvalidOperationException">A variable cannot be used; the sentence says which and why.</exception>
    public static StampSettings From(Func<string, string?> variable)
    {
        if (variable(AddressVariable) is not { Length: > 0 } address) return new(null, [], TimeSpan.FromHours(24));
        if (Outgoing.WhyNot(address) is { } why) throw new InvalidOperationException($"{AddressVariable}: {why}");
        return new(address, variable(RootsVariable) is { Length: > 0 } path ? Read(path) : [], Hours(variable(HoursVariable)));
    }

    static TimeSpan Hours(string? text) => text is null ? TimeSpan.FromHours(24)
        : double.TryParse(text, NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out var hours) && hours is > 0 and <= 24 * 366 ? TimeSpan.FromHours(hours)
        : throw new InvalidOperationException($"{HoursVariable} is a number of hours, such as 24 or 0.5.");

    static List<X509Certificate2> Read(string path)
    {
        try
        {
            X509Certificate2Collection read = [];
            read.ImportFromPemFile(path);
            return read.Count > 0 ? [.. read] : throw new InvalidOperationException($"{RootsVariable}: {path} holds no certificate.");
        }
        catch (Exception failure) when (failure is CryptographicException or IOException or UnauthorizedAccessException)
        {
            throw new InvalidOperationException($"{RootsVariable}: {path} cannot be read as certificates (PEM).", failure);
        }
    }
}
