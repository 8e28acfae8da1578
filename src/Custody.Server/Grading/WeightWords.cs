using System.Globalization;
using Custody.Evidence;
using Custody.Evidence.Weight;

namespace Custody.Server.Grading;

/// <summary>Weights in words, and in "so many times" after the words. Never a sum, never a mark out of something.</summary>
public static class WeightWords
{
    /// <summary>How strongly an interval speaks, and for which side, in one line; by the scale given.</summary>
    public static string Said(RatioRange weight, VerbalScale scale)
    {
        var words = scale.Words(DecimalText.Parse(weight.Low), DecimalText.Parse(weight.High));
        return words.For switch
        {
            Direction.Neither => "supports neither",
            Direction.Proposition => $"{scale.Bands.First(b => b.Word == words.Word).Sentence} for the proposition",
            _ => $"{scale.Bands.First(b => b.Word == words.Word).Sentence} for the alternative",
        };
    }

    /// <summary>A ratio from its log10 to two figures: "12", or "1/12" where it speaks for the other side.</summary>
    public static string Times(string log10) => Times(double.Parse(log10, CultureInfo.InvariantCulture));

    public static string Times(double log10)
    {
        var times = Figures(Math.Pow(10, Math.Abs(log10)));
        return log10 >= 0 || times == "1" ? times : "1/" + times;
    }

    /// <summary>A ratio with its interval.</summary>
    public static string Range(RatioRange weight) => $"{Times(weight.Log10)} (90 %: {Times(weight.Low)} to {Times(weight.High)})";

    static string Figures(double number)
    {
        if (number < 10) return Math.Round(number, 1).ToString("0.#", CultureInfo.InvariantCulture);
        var size = Math.Pow(10, Math.Floor(Math.Log10(number)) - 1);
        return (Math.Round(number / size) * size).ToString("#,0", CultureInfo.InvariantCulture).Replace(',', '\u202f');
    }
}
