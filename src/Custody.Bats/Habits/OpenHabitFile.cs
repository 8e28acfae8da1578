using Custody.Evidence;

namespace Custody.Bats;

/// <summary>Open a file of one player's habits.</summary>
/// <param name="Period">The seasons it covers (EDTF).</param>
public sealed record OpenHabitFile(PartyId Player, PartyId Keeper, Edtf Period, string? Scope) : HabitCommand
{
    public override bool Begins => true;

    public override IReadOnlyList<Fact<HabitFile>> Produce(HabitFile file, Introductions people) =>
        [new HabitFileOpened(people.Of(Player, Role.Player), people.Of(Keeper, Role.House), Period, Scope)];
}

/// <summary>A habit file was opened.</summary>
public sealed record HabitFileOpened(Alias Player, Alias Keeper, Edtf Period, Withheld<string>? Scope) : HabitFact
{
    protected override IEnumerable<Refusal> PermitOn(HabitFile file, Entry entry, ICited cited) => [];

    public override HabitFile Apply(HabitFile file, Entry entry) => file with { Player = Player };
}
