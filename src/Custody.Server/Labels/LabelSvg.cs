using System.Globalization;
using System.Net;
using System.Text;

namespace Custody.Server.Labels;

/// <summary>Draws one label as an SVG document.</summary>
static class LabelSvg
{
    public static string Write(LabelFace face, LabelDrawing label)
    {
        var (width, height) = (label.Width, label.Height);
        var svg = new StringBuilder();
        void Line(FormattableString text) => svg.Append(text.ToString(CultureInfo.InvariantCulture)).Append('\n');
        Line($"<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width:0.###}mm\" height=\"{height:0.###}mm\" viewBox=\"0 0 {width:0.###} {height:0.###}\" role=\"img\">");
        Line($"<title>{WebUtility.HtmlEncode($"{face.House}: {face.ShortNumber}, label {face.Serial}. {LabelFace.Caution}")}</title>");
        Line($"<rect width=\"100%\" height=\"100%\" fill=\"#fff\"/>");
        var boxes = string.Concat(label.Boxes().Select(b => FormattableString.Invariant($"M{b.X:0.####} {b.Y:0.####}h{b.Width:0.####}v{b.Height:0.####}h{-b.Width:0.####}z")));
        Line($"<path fill=\"#000\" shape-rendering=\"crispEdges\" d=\"{boxes}\"/>");
        foreach (var line in label.Lines)
            Line($"<path fill=\"none\" stroke=\"#000\" stroke-width=\"{line.PenWidth:0.###}\" stroke-linecap=\"round\" stroke-linejoin=\"round\" d=\"{string.Concat(line.Steps.Select(Step))}\"/>");
        return svg.Append("</svg>\n").ToString();
    }

    static string Step(PenStep s) => s.Kind == 'C'
      ? FormattableString.Invariant($"C{s.X1:0.###} {s.Y1:0.###} {s.X2:0.###} {s.Y2:0.###} {s.X:0.###} {s.Y:0.###}")
      : FormattableString.Invariant($"{s.Kind}{s.X:0.###} {s.Y:0.###}");
}
