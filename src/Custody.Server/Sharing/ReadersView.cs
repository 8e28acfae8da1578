using System.Text;
using Custody.Ledger;
using Custody.Transparency;
using Microsoft.AspNetCore.Html;

namespace Custody.Server.Sharing;

/// <summary>The page <c>history.html</c> of a dossier, exactly as it was written, to be shown within a page of ours.</summary>
public static class ReadersView
{
    /// <summary>What a browser is allowed when the page is shown alone: nothing but its own style.</summary>
    public const string Alone = "sandbox; default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'; base-uri 'none'; form-action 'none'";

    /// <summary>The content without head and style: the writer's own markup, every text in it encoded by the writer.</summary>
    public static IHtmlContent Of(ReadOnlySpan<byte> page)
    {
        var html = Encoding.UTF8.GetString(page);
        var from = html.IndexOf("<h1>", StringComparison.Ordinal);
        var to = html.LastIndexOf("</html>", StringComparison.Ordinal);
        if (from < 0 || to < from) throw new InvalidOperationException("This is not a page that a dossier's writer makes.");
        // One step down: the page around it has the first heading.
        return new HtmlString(html[from..to].Replace("h1>", "h2>", StringComparison.Ordinal));
    }

    /// <summary>The page in a dossier's file.</summary>
    public static byte[] In(byte[] dossier)
    {
        using MemoryStream file = new(dossier, writable: false);
        return DossierReader.Read(file).Page?.ToArray() ?? throw new InvalidOperationException("This dossier has no page.");
    }
}
