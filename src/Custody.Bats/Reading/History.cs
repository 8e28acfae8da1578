using System.Globalization;
using Custody.Evidence;
using Custody.Evidence.Weight;

namespace Custody.Bats;

/// <summary>All entries of one bat, in order, with whatever withheld values this reader was shown. Everything a reader asks of a bat is a
/// pure function of these and of a time; the same entries give the same answers, byte for byte.</summary>
public sealed class History
{
    readonly IReadOnlyList<Entry> entries;

    History(IReadOnlyList<Entry> entries) => this.entries = entries;

    /// <summary>The history in these entries: one bat's stream from entry 1 on, none left out.</summary>
    /// <exception cref="ArgumentException">Not that.</exception>
    public static History Of(IEnumerable<Entry> entries)
    {
        IReadOnlyList<Entry> all = [.. entries];
        for (var i = 0; i < all.Count; i++)
        {
            if (all[i].N != i + 1 || all[i].Fact is not BatFact || all[i].Envelope.Stream != all[0].Envelope.Stream)
                throw new ArgumentException("A history is the entries of one bat from the first on, none left out.", nameof(entries));
        }
        return new History(all);
    }

    public IReadOnlyList<Entry> Entries => entries;

    /// <summary>Everything recorded, as corrected.</summary>
    public Reading AsCorrected() => new(entries);

    /// <summary>What the ledger knew at this time: entries recorded up to and including it, corrections among them.</summary>
    public Reading AsRecorded(DateTimeOffset time) => new([.. entries.TakeWhile(e => e.Envelope.Recorded <= time)]);

    /// <summary>What the ledger knew right after this entry.</summary>
    public Reading UpTo(long n) => new([.. entries.TakeWhile(e => e.N <= n)]);

    /// <summary>"Who held it in 1961?": as everything recorded up to now says.</summary>
    public StoodOn On(Edtf day) => AsCorrected().On(day);
}

/// <summary>One entry as a reading has it.</summary>
/// <param name="Entry">With clerical corrections made.</param>
/// <param name="CorrectedBy">Numbers of its corrections.</param>
/// <param name="IsVoid">It did not happen here.</param>
public sealed record Noted(Entry Entry, IReadOnlyList<long> CorrectedBy, bool IsVoid)
{
    public long N => Entry.N;

    public BatFact Fact => (BatFact)Entry.Fact;

    public DateTimeOffset Recorded => Entry.Envelope.Recorded;

    /// <summary>When it is said to have happened, else the day it was recorded.</summary>
    public Edtf When => Entry.Envelope.Occurred
        ?? Edtf.Parse(Entry.Envelope.Recorded.UtcDateTime.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture));
}

/// <summary>A bat's history up to some entry, folded and corrected. Title, custody and holds come from the fold, which no clerical
/// correction touches; everything else is read from the corrected entries.</summary>
public sealed class Reading
{
    readonly Dictionary<Alias, Who> people = [];
    readonly IReadOnlyList<Entry> raw;

    internal Reading(IReadOnlyList<Entry> entries)
    {
        raw = entries;
        List<Bat> states = [new Bat()];
        foreach (var entry in entries) states.Add(states[^1].Fold(entry));
        States = states;
        State = states[^1];
        Entries = Corrected(entries, State.Corrections);
        foreach (var entry in entries)
            foreach (var (alias, party) in entry.Fact.Parties ?? [])
                people[Alias.Parse(alias)] = new Who(Alias.Parse(alias), party.Role, party.Name?.Value);
    }

    /// <summary>The fold of all entries.</summary>
    public Bat State { get; }

    /// <summary>The entries, corrected; entry n stands at place n - 1.</summary>
    public IReadOnlyList<Noted> Entries { get; }

    /// <summary>The state after each entry; the one after entry n stands at place n.</summary>
    internal IReadOnlyList<Bat> States { get; }

    /// <summary>Entries that happened here, with their facts of one type.</summary>
    internal IEnumerable<(Noted At, TFact Fact)> Standing<TFact>() where TFact : class =>
        Entries.Where(e => !e.IsVoid && e.Fact is TFact).Select(e => (e, (e.Fact as TFact)!));

    /// <summary>Entry n as recorded.</summary>
    internal Entry Raw(long n) => raw[(int)n - 1];

    /// <summary>What was known just before entry n.</summary>
    internal Reading Before(long n) => new([.. raw.Take((int)n - 1)]);

    internal Noted this[long n] => Entries[(int)n - 1];

    /// <summary>Someone as far as this reader was shown.</summary>
    public Who Who(Alias alias) => people.GetValueOrDefault(alias) ?? new Who(alias, Role.Other, null);

    internal Who? WhoMaybe(Alias? alias) => alias is { } known ? Who(known) : null;

    internal IReadOnlyList<Who> All(IEnumerable<Alias> aliases) => [.. aliases.Select(Who)];

    public BatSheet Sheet() => BatSheet.Read(this);

    public HoldingChain TitleChain() => TitleReading.Read(this);

    public HoldingChain CustodyChain() => CustodyReading.Read(this);

    public StoodOn On(Edtf day) => new(day, HeldOn.Read(TitleChain(), day), HeldOn.Read(CustodyChain(), day));

    /// <summary>Every examination: the order in which things were seen, and what that did to the findings.</summary>
    public IReadOnlyList<ExaminationOrder> Examined() => ExaminationOrder.All(this);

    /// <summary>The bat as the examination begun by entry <paramref name="n"/> may see it; null when there is none.</summary>
    public BlindView? Blind(long n) => Bats.BlindView.Read(this, n);

    /// <summary>All prior opinions and examinations side by side, for whoever is to grade again.</summary>
    /// <param name="streams">The files and rubrics that the opinions cite, as far as they are held.</param>
    public RegradingReview Review(CitedStreams streams) => RegradingReview.Read(this, streams);

    /// <summary>The opinion of entry <paramref name="n"/> computed again; null when it is none given here.</summary>
    /// <param name="today">Also under today's files and record.</param>
    public OpinionRecomputed? Recompute(long n, CitedStreams streams, bool today) => OpinionRecomputed.Of(History, n, streams, today);

    /// <summary>The history that this reads.</summary>
    internal History History => History.Of(raw);

    public OpinionHistory Opinions() => OpinionHistory.Read(this);

    public LotHistory Lots() => LotHistory.Read(this);

    /// <summary>The arithmetic of every sale, as far as its amounts and terms are shown.</summary>
    /// <param name="termsOf">The terms of a sale by reference; null when they are not held here.</param>
    public IReadOnlyList<SaleAccount> Accounts(Func<Reference, ISaleTerms?> termsOf) => SaleAccount.Read(this, termsOf);

    /// <summary>The seasons in which it can have been used.</summary>
    public BatSeasons Seasons() => BatSeasons.Read(this);

    /// <summary>What lies over what, and which places of a list that fits.</summary>
    public BatLayers Layers() => BatLayers.Read(this);

    /// <summary>Comparisons of archive pictures with the bat, computed again.</summary>
    public BatComparisons Comparisons() => BatComparisons.Read(this);

    /// <summary>What a comparison would give with these pairs; nothing is recorded. Null when there is no such comparison.</summary>
    public (PictureResult? Result, EvidenceRefusal? Refused)? TryComparison(long n, PictureFit fit, IReadOnlyList<PointPair> pairs, long tried) =>
        BatComparisons.Try(this, n, fit, pairs, tried);

    /// <summary>Condition over time: between examinations, and at the two ends of each hand-over.</summary>
    public BatCondition Condition() => BatCondition.Read(this);

    /// <summary>The difference of two examinations by the entries that opened them; null when one is not there or has no locked findings.</summary>
    public ConditionStep? ConditionBetween(long earlier, long later) => BatCondition.Between(this, earlier, later);

    /// <summary>Placed findings against the usual zones of a habit file.</summary>
    /// <param name="habits">Entries of the file, up to the version compared with.</param>
    /// <param name="examination">Entry that opened the examination; every one with locked findings when null.</param>
    public BatZones Zones(IReadOnlyList<Entry> habits, long? examination = null) => BatZones.Read(this, habits, examination is { } n ? [n] : null, null);

    /// <summary>Measurements that must make sense: limits by year, weights, lengths.</summary>
    public BatBody Body() => BatBody.Read(this);

    /// <summary>The bat's shape by the girths of its latest baseline; null where fewer than three were measured.</summary>
    public Profile? Shape() => Standing<BaselineRecorded>().LastOrDefault() is { Fact: { } last } ? BodyMeasures.Shape(last) : null;

    /// <summary>What a measurement that is about to be locked says beside the baseline and the limits of play: sentences, never a verdict. Reads nothing that
    /// an open examination may not see.</summary>
    public IReadOnlyList<string> Plausible(FindingKind kind, Quantity measure) => MeasurePlausible.Of(this, kind, measure);

    /// <summary>Weighs the locked findings against a version of a habit file and of a comparison file, or refuses by name. Nothing is recorded.</summary>
    /// <param name="habits">Entries of the habit file up to the version weighed against.</param>
    /// <param name="comparison">Entries of the comparison file up to its version.</param>
    public (BatWeighed? Weighed, Refusal? Refused) Weigh(IReadOnlyList<Entry> habits, IReadOnlyList<Entry> comparison, WeighingAsked asked) =>
        WeighingReading.Read(this, habits, comparison, asked);

    /// <summary>What an opinion states its weights to be computed from, so that the numbers of this weighing come out of it again.</summary>
    /// <param name="habits">Entries of the habit file up to the version weighed against.</param>
    public WeightInputs InputsOf(BatWeighed weighed, IReadOnlyList<Entry> habits, WeighingChoices choices) => WeighedInputs.Of(this, weighed, habits, choices);

    /// <summary>Everything that rests on entry <paramref name="n"/>, should it fall.</summary>
    public RippleList Ripple(long n) => RippleList.Read(this, n);

    /// <summary>What waits to be done at this time; the time also decides what is overdue.</summary>
    /// <param name="withdrawals">Sources withdrawn from files that opinions rest on; none when left out.</param>
    public OpenWork Work(DateTimeOffset time, IReadOnlyList<FileWithdrawal>? withdrawals = null) => OpenWork.Read(this, time, withdrawals ?? []);

    /// <summary>Everything of this bat that rests, through an opinion, on a source of a habit file or comparison file, should it fall.</summary>
    public IReadOnlyList<RestsOnFile> RestingOn(StreamName file, long occasion) => FileRipple.Resting(this, file, occasion);

    /// <summary>The entries as they were opened for somebody, corrected: also those that could not be followed here because what they name is gone.</summary>
    /// <param name="opened">One for each of this reading's.</param>
    public IReadOnlyList<Noted> Corrected(IReadOnlyList<Entry> opened) => Corrected(opened, State.Corrections);

    // Corrections apply in the order of recording: the later one of a member wins.
    static Noted[] Corrected(IReadOnlyList<Entry> entries, Corrections corrections)
    {
        var noted = entries.Select(e => new Noted(e, [], corrections.IsVoid(e.N))).ToArray();
        foreach (var entry in entries)
        {
            if (entry.Fact is not EntryCorrected correction) continue;
            var at = noted[(int)correction.Of.N - 1];
            var fixedEntry = correction is { Kind: CorrectionKind.Clerical, Pointer: { } pointer } && Target.Find(at.Entry.Fact, pointer) is { } target
                ? target.Applied(at.Entry, correction)
                : at.Entry;
            noted[(int)correction.Of.N - 1] = at with { Entry = fixedEntry, CorrectedBy = [.. at.CorrectedBy, entry.N] };
        }
        return noted;
    }
}

/// <summary>A person or firm of this bat's history.</summary>
/// <param name="Name">Null when it was not shown to this reader.</param>
public sealed record Who(Alias Alias, Role Role, string? Name);
