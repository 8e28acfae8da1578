using Custody.Bats;
using Custody.Server.Recording;
using Custody.Server.Web.Pages;
using Microsoft.AspNetCore.Mvc;

namespace Custody.Server.Examining;

/// <summary>A page about one examination.</summary>
public abstract class BenchPage(Recorder recorder, BenchDesk desk) : ActPage(recorder)
{
    [FromRoute]
    public string Number { get; set; } = "";

    /// <summary>Entry that opened the examination.</summary>
    [FromRoute]
    public long N { get; set; }

    public BenchCase Case { get; private set; } = null!;

    /// <summary>Reads the examination. False when there is none of this number on this bat.</summary>
    protected async Task<bool> Load()
    {
        if (await desk.Case(Number, N, Viewer.Party, HttpContext.RequestAborted) is not { } found) return false;
        Case = found;
        if (HttpContext.Request.Method == "GET") Seen = found.Reading.State.N;
        return true;
    }

    /// <summary>Reads the examination for its examiner's eyes only.</summary>
    protected async Task<bool> LoadMine() => await Load() && Case.Mine;
}
