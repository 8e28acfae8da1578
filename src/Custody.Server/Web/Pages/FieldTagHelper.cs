using System.Globalization;
using Microsoft.AspNetCore.Mvc.Rendering;
using Microsoft.AspNetCore.Mvc.ViewFeatures;
using Microsoft.AspNetCore.Razor.TagHelpers;

namespace Custody.Server.Web.Pages;

/// <summary>One field of a form: label, hint, what was typed and, beside it, why it was refused.
/// <c>&lt;field for="Review" label="Look at it again on" hint="2027-03" /&gt;</c>; <c>kind</c> is an input's type, or <c>lines</c>, <c>choice</c>, <c>tick</c>.
/// Attributes that are not named here go to the control.</summary>
[HtmlTargetElement("field", Attributes = "for", TagStructure = TagStructure.NormalOrSelfClosing)]
public sealed class FieldTagHelper : TagHelper
{
    [HtmlAttributeName("for")]
    public required ModelExpression For { get; set; }

    public required string Label { get; set; }

    public string? Hint { get; set; }

    public string Kind { get; set; } = "text";

    /// <summary>For <c>choice</c>.</summary>
    public IEnumerable<SelectListItem>? Options { get; set; }

    /// <summary>For <c>choice</c>: what stands first and means nothing was chosen; null when there is no such choice.</summary>
    public string? Nothing { get; set; }

    public bool Required { get; set; }

    /// <summary>A short control: a date, a number, a unit.</summary>
    public bool Short { get; set; }

    [ViewContext, HtmlAttributeNotBound]
    public required ViewContext ViewContext { get; set; }

    public override void Process(TagHelperContext context, TagHelperOutput output)
    {
        var name = For.Name;
        var id = "f-" + TagBuilder.CreateSanitizedId(name, "-");
        var errors = ViewContext.ModelState.TryGetValue(name, out var state) ? state.Errors : [];
        var control = Control(id, name, state?.AttemptedValue);
        foreach (var attribute in output.Attributes) control.MergeAttribute(attribute.Name, Convert.ToString(attribute.Value, CultureInfo.InvariantCulture), replaceExisting: true);
        string[] described = [.. Hint is null ? Array.Empty<string>() : [id + "-hint"], .. errors.Count == 0 ? Array.Empty<string>() : [id + "-error"]];
        if (described.Length > 0) control.Attributes["aria-describedby"] = string.Join(' ', described);
        if (errors.Count > 0) control.Attributes["aria-invalid"] = "true";
        if (Required) control.Attributes["required"] = "required";

        output.TagName = "div";
        output.TagMode = TagMode.StartTagAndEndTag;
        output.Attributes.Clear();
        output.Attributes.SetAttribute("class", "field" + (Short ? " short" : "") + (errors.Count > 0 ? " bad" : ""));
        var label = Element("label", Label, ("for", id));
        if (Kind == "tick")
        {
            output.Content.AppendHtml(control).AppendHtml(Element("label", Label, ("for", id)));
            if (Hint is not null) output.Content.AppendHtml(Element("p", Hint, ("class", "hint"), ("id", id + "-hint")));
        }
        else
        {
            output.Content.AppendHtml(label);
            if (Hint is not null) output.Content.AppendHtml(Element("p", Hint, ("class", "hint"), ("id", id + "-hint")));
            output.Content.AppendHtml(control);
        }
        if (errors.Count > 0) output.Content.AppendHtml(Element("p", string.Join(' ', errors.Select(e => e.ErrorMessage)), ("class", "error"), ("id", id + "-error")));
    }

    TagBuilder Control(string id, string name, string? attempted)
    {
        var value = attempted ?? Convert.ToString(For.Model, CultureInfo.InvariantCulture);
        TagBuilder control;
        switch (Kind)
        {
            case "lines":
                control = Element("textarea", "\n" + value); // a first line break in a text area is dropped by browsers
                break;
            case "choice":
                control = new TagBuilder("select");
                if (Nothing is not null) control.InnerHtml.AppendHtml(Element("option", Nothing, ("value", "")));
                foreach (var option in Options ?? [])
                    control.InnerHtml.AppendHtml(Element("option", option.Text, ("value", option.Value ?? option.Text), ("selected", (option.Value ?? option.Text) == value ? "selected" : null)));
                break;
            case "tick":
                control = Element("input", null, ("type", "checkbox"), ("value", "true"), ("checked", value is "true" or "True" or "true,false" ? "checked" : null));
                break;
            default:
                // What was typed stays, except where a browser would not take it back.
                control = Element("input", null, ("type", Kind), ("value", Kind is "password" or "file" ? null : value));
                break;
        }
        control.TagRenderMode = Kind is "lines" or "choice" ? TagRenderMode.Normal : TagRenderMode.SelfClosing;
        control.Attributes["id"] = id;
        control.Attributes["name"] = name;
        return control;
    }

    static TagBuilder Element(string tag, string? text, params (string Name, string? Value)[] attributes)
    {
        TagBuilder element = new(tag);
        foreach (var (name, value) in attributes)
            if (value is not null) element.Attributes[name] = value;
        if (text is not null) element.InnerHtml.Append(text);
        return element;
    }
}
