using Custody.Server.Labels;
using SkiaSharp;

namespace Custody.Server.Tests.Labels;

public sealed class LabelSymbolTests
{
    static SKBitmap Picture(LabelSymbol symbol, Func<int, int, bool?> cover)
    {
        const int pixels = 6;
        var side = symbol.Size + 2 * LabelSymbol.QuietZone;
        var bitmap = new SKBitmap(side * pixels, side * pixels);
        using var canvas = new SKCanvas(bitmap);
        canvas.Clear(SKColors.White);
        using var black = new SKPaint { Color = SKColors.Black };
        for (var row = 0; row < symbol.Size; row++)
        {
            for (var column = 0; column < symbol.Size; column++)
                if (cover(row, column) ?? symbol.Dark(row, column)) canvas.DrawRect((column + 4) * pixels, (row + 4) * pixels, pixels, pixels, black);
        }
        return bitmap;
    }

    [Theory]
    [InlineData("A.EXAMPLE")]
    [InlineData("CUSTODY.EXAMPLE.ORG")]
    [InlineData("CUSTODY.LEDGER.SALEROOM-OF-PORT-AVERY.BATS.AND-BALLS.AND-GLOVES.EXAMPLE.ORG")]
    public void Any_label_survives_the_loss_of_the_quarter_without_a_finder(string host)
    {
        for (var seed = 0; seed < 15; seed++)
        {
            var url = SampleLabels.Face(seed, host).Url;
            var symbol = LabelSymbol.Sturdy(url);
            var random = new Random(seed);
            bool? Scribble() => random.Next(2) == 0;
            foreach (var cover in (Func<bool?>[])[() => false, () => true, Scribble])
                Assert.Equal(url, CodeReader.ReadExact(Picture(symbol, (row, column) => Quarter(symbol, row, column) ? cover() : null))?.Text);
        }
    }

    /// <summary>Half the side each way, rounded up.</summary>
    static bool Quarter(LabelSymbol symbol, int row, int column) => row >= symbol.Size / 2 && column >= symbol.Size / 2;

    [Fact]
    public void The_small_symbol_is_for_small_labels_only_because_it_does_not_survive_that()
    {
        var url = SampleLabels.Face(1).Url;
        var symbol = LabelSymbol.Small(url);
        // 37 modules are version 5: only the mixed alphanumeric mode is that small at level H.
        Assert.Equal(37, symbol.Size);
        Assert.Equal(url, CodeReader.ReadExact(Picture(symbol, (_, _) => null))?.Text);
        Assert.Null(CodeReader.ReadExact(Picture(symbol, (row, column) => Quarter(symbol, row, column) ? false : null)));
    }

    [Fact]
    public void Losing_half_the_symbol_is_beyond_what_the_level_corrects()
    {
        var symbol = LabelSymbol.Sturdy(SampleLabels.Face(1).Url);
        Assert.Null(CodeReader.ReadExact(Picture(symbol, (row, column) => row >= 9 && column >= 9 ? false : null)));
    }

    [Fact]
    public void An_address_too_long_for_a_label_is_refused() =>
      Assert.Throws<ArgumentException>(() => LabelSymbol.Sturdy(SampleLabels.Face(1, new string('A', 200)).Url));
}
