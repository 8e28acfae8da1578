using Custody.Evidence;

namespace Custody.Bats;

/// <summary>From when a bat's custody is documented without a certain gap, so that nobody unknown can have prepared it since.</summary>
static class CustodyDocumented
{
    /// <summary>Goes back from the present custody over keepers reported on a document, letter or record, as long as each one's end leaves no certain gap
    /// before the next. Null when nobody is recorded to keep it.</summary>
    internal static Edtf? From(Reading reading)
    {
        var links = reading.CustodyChain().Links.Where(l => l.From is not null).OrderByDescending(l => l.From!.StartOrder()).ToList();
        Edtf? since = null;
        // Acts were witnessed here; a report is somebody's word unless it rests on paper.
        foreach (var link in links)
        {
            if (link.Kind == LinkKind.Act) since = link.From;
            else if (link.Basis is { } basis && Occasion.IsDocument(basis) && since is not null && Touches(link, since)) since = link.From;
        }
        return since;
    }

    static bool Touches(HoldingLink link, Edtf next) => link.To is { } to && Precedence.Between(to, next).Gap.Least == 0;

    static long StartOrder(this Edtf date) => date.EarliestStart is { IsDay: true } at ? at.Day.Number : long.MinValue;
}
