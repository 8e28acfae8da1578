namespace Custody.Server.Labels;

/// <summary>Prints labels. All three forms draw the same shapes; no font is needed or embedded.</summary>
public static class LabelPrint
{
    /// <summary>A PDF of sheets, filled in order from <paramref name="startAt"/>. Print at 100 %, not "fit to page".</summary>
    /// <param name="startAt">The first free position of a part-used sheet, counted from 1.</param>
    /// <exception cref="ArgumentException">No labels, a sheet that cannot be, a label too small, or a position the sheet has not.</exception>
    public static byte[] Pdf(IReadOnlyList<LabelFace> faces, LabelSheet sheet, int startAt = 1)
    {
        if (faces.Count == 0) throw new ArgumentException("There is no label to print.", nameof(faces));
        if (sheet.Fault() is { } fault) throw new ArgumentException(fault, nameof(sheet));
        if (startAt < 1 || startAt > sheet.PerPage)
            throw new ArgumentException(FormattableString.Invariant($"The sheet has positions 1 to {sheet.PerPage}; {startAt} is not one of them."), nameof(startAt));
        return LabelPdf.Write(faces, sheet, startAt);
    }

    /// <summary>One label as a PNG. Every module is a whole number of pixels, so the picture may be somewhat larger or smaller than asked.</summary>
    /// <param name="dpi">Pixels per inch, 150 to 1200.</param>
    /// <param name="width">Label width, millimetres.</param>
    /// <param name="height">Label height, millimetres.</param>
    /// <exception cref="ArgumentException">A dpi outside the range, or a label too small.</exception>
    public static byte[] Png(LabelFace face, int dpi = 300, double width = 63.5, double height = 38.1)
    {
        if (dpi is < 150 or > 1200) throw new ArgumentException("A label picture has 150 to 1200 pixels per inch.", nameof(dpi));
        return LabelPng.Write(LabelLayout.Draw(face, width, height), dpi);
    }

    /// <summary>One label as an SVG of true size, text as paths and again as its title.</summary>
    /// <param name="width">Label width, millimetres.</param>
    /// <param name="height">Label height, millimetres.</param>
    /// <exception cref="ArgumentException">A label too small.</exception>
    public static string Svg(LabelFace face, double width = 63.5, double height = 38.1) => LabelSvg.Write(face, LabelLayout.Draw(face, width, height));
}
