using System.Globalization;
using Custody.Bats;
using Custody.Server.Examining;
using Custody.Server.Recording;
using Custody.Server.Web.Pages;
using Microsoft.AspNetCore.Mvc;

namespace Custody.Server.Readings;

/// <summary>A page whose form records an act on the bat that its address names.</summary>
public abstract class BatActPage(Recorder recorder, BenchDesk bench) : ActPage(recorder)
{
    [FromRoute]
    public string Number { get; set; } = "";

    /// <summary>The bat as it stands, corrected.</summary>
    public Reading Reading { get; private set; } = null!;

    public StreamName Stream => StreamName.Parse(Reading.State.Id);

    /// <summary>The party acted for; null when the account acts for nobody.</summary>
    public PartyId? Own => Viewer.Party;

    public virtual async Task<IActionResult> OnGetAsync()
    {
        if (!await Load()) return NotFound();
        Seen = Reading.State.N;
        return Page();
    }

    /// <summary>Loads the bat; false when there is none of this number.</summary>
    protected async Task<bool> Load()
    {
        if (await bench.Bat(Number, HttpContext.RequestAborted) is not { } reading) return false;
        (Reading, Number) = (reading, reading.State.Registration!.ShortNumber);
        // Names are on it: nothing on the way keeps a copy.
        Response.Headers.CacheControl = "no-store";
        return true;
    }

    /// <summary>The page again as it was typed, over the bat as it stands now.</summary>
    protected async Task<IActionResult> Again()
    {
        await Load();
        return Page();
    }

    /// <summary>A word of an enumeration, exactly as a choice names it; null for anything else.</summary>
    protected internal static T? Word<T>(string? said) where T : struct, Enum => said is not null && Enum.GetNames<T>().Contains(said) ? Enum.Parse<T>(said) : null;

    /// <summary>The words that were ticked, each once; what is none is passed over.</summary>
    protected internal static IReadOnlyList<T> Ticked<T>(IEnumerable<string> said) where T : struct, Enum => [.. said.Select(Word<T>).OfType<T>().Distinct().Order()];

    /// <summary>The number of an entry; null for anything else.</summary>
    protected internal static long? Entry(string? said) => long.TryParse(said, NumberStyles.None, CultureInfo.InvariantCulture, out var n) ? n : null;
}
