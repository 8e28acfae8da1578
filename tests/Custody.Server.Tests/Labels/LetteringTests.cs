using Custody.Server.Labels;

namespace Custody.Server.Tests.Labels;

public sealed class LetteringTests
{
    [Fact]
    public void Every_printable_ASCII_character_and_the_common_Latin_ones_can_be_written_but_for_four()
    {
        var ascii = string.Concat(Enumerable.Range(0x20, 0x5F).Select(c => (char)c));
        Assert.Equal("^`{}", string.Concat(ascii.Where(c => Lettering.FirstUnknown(c.ToString()) is not null)));
        Assert.Null(Lettering.FirstUnknown("ÀÁÂÃÄÅÆÇÈÉÊËÌÍÎÏÑÒÓÔÕÖØÙÚÛÜÝßàáâãäåæçèéêëìíîïñòóôõöøùúûüýÿŁłŐőŰűČčŠšŽžĚěŘřĂăĄąĘęŻż"));
        foreach (var c in ascii.Except("^`{}")) Lettering.Write(c.ToString(), 0, 0, 14);
    }

    [Fact]
    public void Composed_and_decomposed_spellings_are_drawn_alike() =>
      Assert.Equal(Lettering.Write("Müller é", 1, 2, 3), Lettering.Write("Mu\u0308ller e\u0301", 1, 2, 3));

    [Fact]
    public void Letters_stand_on_the_baseline_at_the_height_asked_for()
    {
        var steps = Lettering.Write("HEX0", x: 10, y: 20, capHeight: 3);
        Assert.Equal(20, steps.Max(s => s.Y), 9);
        Assert.Equal(17, steps.Min(s => s.Y), 9);
        Assert.Equal(10, steps.Min(s => s.X), 9);
        Assert.Equal(10 + Lettering.Width("HEX0", 3), steps.Max(s => s.X), 9);
    }

    [Fact]
    public void No_two_characters_look_alike()
    {
        var characters = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789".Select(c => string.Join(',', Lettering.Write(c.ToString(), 0, 0, 14)));
        Assert.Equal(62, characters.Distinct().Count());
    }
}
