using Custody.Bats;

namespace Custody.Server.Grading;

/// <summary>An opinion as typed.</summary>
public sealed class OpinionForm
{
    public string? House { get; set; }
    public string? Player { get; set; }
    public string? Rubric { get; set; }
    public string? Level { get; set; }
    public bool WithSeasons { get; set; }

    /// <summary>Keep how placed findings meet the habit file's usual zones.</summary>
    public bool WithZones { get; set; }

    /// <summary>One for each of <see cref="StatedPairs.Offered"/>: empty, Neither, or a side and a word.</summary>
    public List<string?> Pairs { get; set; } = [];

    public List<long> Examinations { get; set; } = [];
    public List<long> Sources { get; set; } = [];
    public List<long> Photographs { get; set; } = [];
    public List<long> Comparisons { get; set; } = [];
    public List<long> Treatments { get; set; } = [];

    /// <summary>Lists of where the bat could have been.</summary>
    public List<long> Lists { get; set; } = [];
    public List<long> Supersedes { get; set; } = [];
    public string? AskedBy { get; set; }
    public string? PaidBy { get; set; }
    public string? Fee { get; set; }
    public List<string> Interests { get; set; } = [];
    public string? Support { get; set; }
    public string? SupportGround { get; set; }
    public string? SupportReason { get; set; }
    public string? Use { get; set; }
    public string? UseGround { get; set; }
    public string? UseReason { get; set; }
    public string? Condition { get; set; }
    public string? ConditionGround { get; set; }
    public string? ConditionReason { get; set; }
    public string? Statement { get; set; }
    public string? Reasons { get; set; }

    public (string? Ground, string? Reason) Departure(GradeAxis axis) => axis switch
    {
        GradeAxis.Support => (SupportGround, SupportReason),
        GradeAxis.Use => (UseGround, UseReason),
        _ => (ConditionGround, ConditionReason),
    };
}

/// <summary>Pairs that an examiner can state in words, and how a form says a direction with its word.</summary>
public static class StatedPairs
{
    public static IReadOnlyList<(PropositionLevel Level, Alternative Against)> Offered { get; } =
    [
        (PropositionLevel.MadeForProfessionalUse, Alternative.MadeForRetail), (PropositionLevel.OrderedForHim, Alternative.OrderedForAnother),
        (PropositionLevel.UsedInPlay, Alternative.NotUsedInPlay), (PropositionLevel.UsedByHim, Alternative.UsedByAnotherProfessional),
        (PropositionLevel.UsedByHim, Alternative.PreparedLater), (PropositionLevel.OnThisOccasion, Alternative.UsedByAnotherProfessional),
        (PropositionLevel.OnThisOccasion, Alternative.PreparedLater), (PropositionLevel.OnThisOccasion, Alternative.OnAnotherOccasion),
    ];

    /// <summary>What can be said of a pair: nothing either way, or a word for one of the two.</summary>
    public static IReadOnlyList<(string Value, SupportFor For, SupportWord Word)> Words { get; } =
    [
        ("Neither", SupportFor.Neither, SupportWord.Neither),
        .. new[] { SupportFor.Proposition, SupportFor.Alternative }.SelectMany(side => Enum.GetValues<SupportWord>().Where(w => w != SupportWord.Neither).Select(w => ($"{side}:{w}", side, w))),
    ];

    public static (SupportFor For, SupportWord Word)? Read(string? said) =>
        Words.Where(w => w.Value == said).Select(w => ((SupportFor, SupportWord)?)(w.For, w.Word)).FirstOrDefault();

    public static string Said(SupportFor side, SupportWord word) =>
        side == SupportFor.Neither ? "supports neither" : $"{Custody.Ledger.Words.Of(word.ToString())} support for the {Custody.Ledger.Words.Of(side.ToString())}";
}
