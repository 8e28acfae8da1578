using Custody.Bats;
using Custody.Ledger;
using Custody.Server.Web.Pages;
using Microsoft.AspNetCore.Html;
using Microsoft.AspNetCore.Mvc.Rendering;

namespace Custody.Server.Parties;

/// <summary>Those among whom a form's <c>&lt;person&gt;</c> is chosen, each a radio button: written with the page, and again as a name is typed.</summary>
static class PeopleList
{
    /// <param name="field">Name of the field, such as <c>Input.To</c>.</param>
    /// <param name="id">The field's id.</param>
    /// <param name="found">Null when no name was typed.</param>
    /// <param name="chosen">The value chosen; null for none.</param>
    /// <param name="fixedOnes">Choices that always stand there, by value.</param>
    public static HtmlContentBuilder Write(string field, string id, PersonTyped typed, PeopleFound? found, string? chosen, IEnumerable<(string Value, string Text, string? More)> fixedOnes)
    {
        HtmlContentBuilder list = new();
        var n = 0;
        void Choice(string value, string text, string? more, Action<TagBuilder>? further = null)
        {
            TagBuilder line = new("div"), radio = new("input") { TagRenderMode = TagRenderMode.SelfClosing }, label = new("label"), name = new("bdi");
            line.AddCssClass("one");
            var own = $"{id}-{n++}";
            radio.MergeAttributes(new Dictionary<string, string?> { ["type"] = "radio", ["id"] = own, ["name"] = field + ".Party", ["value"] = value });
            if (value == chosen) radio.Attributes["checked"] = "checked";
            label.Attributes["for"] = own;
            name.InnerHtml.Append(text);
            label.InnerHtml.AppendHtml(name);
            if (more is not null)
            {
                TagBuilder soft = new("span");
                soft.AddCssClass("soft");
                soft.InnerHtml.Append(more);
                label.InnerHtml.Append(" ").AppendHtml(soft);
            }
            line.InnerHtml.AppendHtml(radio).AppendHtml(label);
            further?.Invoke(line);
            list.AppendHtml(line);
        }

        List<(string Value, string Text, string? More)> first = [.. fixedOnes];
        foreach (var (value, text, more) in first) Choice(value, text, more);
        if (found is null) return list;
        foreach (var person in found.People.Where(p => first.All(f => f.Value != p.Party.ToString())))
            Choice(person.Party.ToString(), person.Name, string.Join(", ", new[] { Words.Of(person.Kind.ToString()), person.Address }.Where(s => !string.IsNullOrWhiteSpace(s))));
        if (found.More) list.AppendHtml(Said("More people fit than are shown. Type more of the name."));
        if (found.People.Count == 0) list.AppendHtml(Said("Nobody of that name is recorded."));
        Choice(PersonTyped.New, $"somebody new: {typed.Name?.Trim()}", null, line => line.InnerHtml.AppendHtml(Kinds(field, id, typed.Kind)));
        return list;
    }

    static TagBuilder Said(string text)
    {
        TagBuilder said = new("p");
        said.AddCssClass("soft");
        said.InnerHtml.Append(text);
        return said;
    }

    static TagBuilder Kinds(string field, string id, string? chosen)
    {
        TagBuilder select = new("select");
        select.MergeAttributes(new Dictionary<string, string?> { ["id"] = id + "-kind", ["name"] = field + ".Kind", ["aria-label"] = "What they are" });
        foreach (var kind in Choices.Of<PartyKind>())
        {
            TagBuilder option = new("option");
            option.Attributes["value"] = kind.Value;
            if (kind.Value == (chosen ?? nameof(PartyKind.Person))) option.Attributes["selected"] = "selected";
            option.InnerHtml.Append(kind.Text);
            select.InnerHtml.AppendHtml(option);
        }
        return select;
    }
}
