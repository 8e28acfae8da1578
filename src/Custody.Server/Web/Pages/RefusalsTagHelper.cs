using Microsoft.AspNetCore.Mvc.Rendering;
using Microsoft.AspNetCore.Mvc.ViewFeatures;
using Microsoft.AspNetCore.Razor.TagHelpers;

namespace Custody.Server.Web.Pages;

/// <summary><c>&lt;refusals /&gt;</c>: why nothing was recorded, at the head of a form. What concerns one field also stands beside it.</summary>
[HtmlTargetElement("refusals", TagStructure = TagStructure.NormalOrSelfClosing)]
public sealed class RefusalsTagHelper : TagHelper
{
    [ViewContext, HtmlAttributeNotBound]
    public required ViewContext ViewContext { get; set; }

    public override void Process(TagHelperContext context, TagHelperOutput output)
    {
        var errors = ViewContext.ModelState.SelectMany(m => m.Value!.Errors.Select(e => (Field: m.Key, e.ErrorMessage))).ToList();
        if (errors.Count == 0)
        {
            output.SuppressOutput();
            return;
        }
        output.TagName = "div";
        output.TagMode = TagMode.StartTagAndEndTag;
        output.Attributes.SetAttribute("class", "refusals");
        output.Attributes.SetAttribute("role", "alert");
        output.Attributes.SetAttribute("tabindex", "-1");
        TagBuilder heading = new("h2"), list = new("ul");
        heading.InnerHtml.Append("Nothing was recorded");
        foreach (var (field, message) in errors)
        {
            TagBuilder item = new("li");
            if (field.Length == 0) item.InnerHtml.Append(message);
            else
            {
                TagBuilder link = new("a");
                link.Attributes["href"] = "#f-" + TagBuilder.CreateSanitizedId(field, "-");
                link.InnerHtml.Append(message);
                item.InnerHtml.AppendHtml(link);
            }
            list.InnerHtml.AppendHtml(item);
        }
        output.Content.AppendHtml(heading).AppendHtml(list);
    }
}
