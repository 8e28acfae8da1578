namespace Custody.Bats;

/// <summary>The bat's registration. <see cref="ShortNumber"/> is the number people read aloud, with its check character.</summary>
public sealed record Registration(string ShortNumber, bool Voided);
