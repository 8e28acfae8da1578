using System.Globalization;
using System.Security.Cryptography.X509Certificates;
using Custody.Ledger;
using Custody.Server.Configuring;
using Custody.Server.Cosigning;

namespace Custody.Server.Stamping;

/// <summary>Which authority stamps checkpoints (RFC 3161), and how often.</summary>
/// <param name="Address">Its address; null when there is none.</param>
/// <param name="Roots">Its root certificates: an answer that leads to none of them is not kept. Without any, every sound stamp is kept, for readers to judge.</param>
/// <param name="Every">Least time between two stamps.</param>
public sealed record StampSettings(string? Address, IReadOnlyList<X509Certificate2> Roots, TimeSpan Every)
{
    /// <exception cref="SettingFault">A variable cannot be used; the sentence says which and why.</exception>
    public static StampSettings From(Func<string, string?> variable)
    {
        if (Settings.TimestampUrl.In(variable) is not { } address) return new(null, [], Hours(null));
        if (Outgoing.WhyNot(address) is { } why) throw new SettingFault($"{Settings.TimestampUrl.Name}: {why}");
        return new(address, Settings.TimestampRoots.In(variable) is { } path ? Read(path) : [], Hours(Settings.TimestampHours.In(variable)));
    }

    static TimeSpan Hours(string? text) =>
        double.TryParse(text ?? Settings.TimestampHours.Default, NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out var hours) && hours is > 0 and <= 24 * 366 ? TimeSpan.FromHours(hours)
        : throw new SettingFault($"{Settings.TimestampHours.Name} is a number of hours, such as 24 or 0.5.");

    static IReadOnlyList<X509Certificate2> Read(string path)
    {
        try
        {
            return TimeRoots.Read(File.ReadAllBytes(path)) ?? throw new SettingFault($"{Settings.TimestampRoots.Name}: {path} holds no certificate.");
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
        {
            throw new SettingFault($"{Settings.TimestampRoots.Name}: {path} cannot be read.", failure);
        }
    }
}
