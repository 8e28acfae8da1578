namespace Custody.Bats;

/// <summary>A value that an entry keeps back: the entry carries only a salted digest. Null on a fact means "not shown to this reader"
/// or "never said": the two look alike on purpose. Rules never read one (see <see cref="Fact"/>).</summary>
/// <typeparam name="T">string, Money, Quantity, Edtf, Reference or a list of strings.</typeparam>
public sealed record Withheld<T>(T Value) : IWithheld where T : class
{
    object IWithheld.Value => Value;

    public static implicit operator Withheld<T>?(T? value) => value is null ? null : new Withheld<T>(value);

    /// <summary>Never prints the value: facts end up in logs and test output.</summary>
    public override string ToString() => "withheld";
}

/// <summary>What the codec needs of a withheld value.</summary>
public interface IWithheld
{
    object Value { get; }
}

/// <summary>A nested object of a fact, written as a JSON object by its constructor's parameters.</summary>
public interface IPart;

/// <summary>Parts by a key local to the entry (f1, f2, ...). An object, not an array, so that each part can withhold values of its own.</summary>
public sealed class Keyed<T> : SortedDictionary<string, T>, IKeyed where T : class, IPart
{
    public Keyed() : base(StringComparer.Ordinal)
    {
    }

    public Keyed(IEnumerable<KeyValuePair<string, T>> parts) : this()
    {
        foreach (var (key, part) in parts) Add(key, part);
    }

    Type IKeyed.PartType => typeof(T);

    IEnumerable<KeyValuePair<string, IPart>> IKeyed.Parts => this.Select(p => KeyValuePair.Create<string, IPart>(p.Key, p.Value));

    void IKeyed.Put(string key, IPart part) => Add(key, (T)part);
}

/// <summary>What the codec needs of keyed parts.</summary>
public interface IKeyed
{
    Type PartType { get; }
    IEnumerable<KeyValuePair<string, IPart>> Parts { get; }
    void Put(string key, IPart part);
}
