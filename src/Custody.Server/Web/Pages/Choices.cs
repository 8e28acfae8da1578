using Custody.Ledger;
using Microsoft.AspNetCore.Mvc.Rendering;

namespace Custody.Server.Web.Pages;

/// <summary>Choices for a field.</summary>
public static class Choices
{
    /// <summary>Every word of an enumeration, in plain words.</summary>
    public static IEnumerable<SelectListItem> Of<T>() where T : struct, Enum => Enum.GetValues<T>().Select(v => new SelectListItem(Words.Of(v.ToString()), v.ToString()));

    /// <summary>The words given, and no other.</summary>
    public static IEnumerable<SelectListItem> Of(params string[] words) => words.Select(w => new SelectListItem(w, w));
}
