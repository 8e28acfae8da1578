namespace Custody.Transparency;

/// <summary>A JSON value (RFC 8259) as data. Immutable; equality is by content, members of an object compared without regard to order.</summary>
public abstract record Json
{
    Json() { }

    /// <summary>Text. Lone surrogates are refused when written, not here.</summary>
    public sealed record Str(string Value) : Json;

    /// <summary>A whole number. Written only within ±(2^53-1), the range in which RFC 8785 and every reader agree on it.</summary>
    public sealed record Int(long Value) : Json;

    /// <summary>Any other IEEE 754 double. NaN and infinities are refused when written.</summary>
    public sealed record Num(double Value) : Json;

    /// <summary>true or false.</summary>
    public sealed record Bool(bool Value) : Json;

    /// <summary>The null literal.</summary>
    public sealed record Null : Json
    {
        /// <summary>The one instance anybody needs.</summary>
        public static Null Instance { get; } = new();
    }

    /// <summary>An array.</summary>
    public sealed record Arr(IReadOnlyList<Json> Items) : Json
    {
        /// <summary>An array of the given items.</summary>
        public Arr(params Json[] items) : this((IReadOnlyList<Json>)items) { }

        /// <inheritdoc/>
        public bool Equals(Arr? other) => other is not null && Items.SequenceEqual(other.Items);

        /// <inheritdoc/>
        public override int GetHashCode() => Items.Aggregate(Items.Count, HashCode.Combine);
    }

    /// <summary>An object; keeps its members in the order given and never holds one name twice.</summary>
    public sealed record Obj : Json
    {
        readonly Member[] members;

        /// <summary>Members in the order given.</summary>
        /// <exception cref="ArgumentException">A name occurs twice.</exception>
        public Obj(params Member[] members) : this(members, known: false) { }

        /// <summary>Members in the order given.</summary>
        /// <exception cref="ArgumentException">A name occurs twice.</exception>
        public Obj(IEnumerable<Member> members) : this([.. members], known: false) { }

        // The reader has already refused duplicates and says so, to save the second look.
        internal Obj(Member[] members, bool known)
        {
            if (!known && Names.FirstRepeated(members) is { } name)
                throw new ArgumentException($"The member name \"{name}\" occurs twice.", nameof(members));
            this.members = members;
        }

        /// <summary>Members in the order given.</summary>
        public IReadOnlyList<Member> Members => members;

        internal ReadOnlySpan<Member> Span => members;

        /// <summary>The value under a name, or null (the reference) when the object has no such member.</summary>
        public Json? this[string name]
        {
            get
            {
                foreach (var member in members)
                    if (string.Equals(member.Name, name, StringComparison.Ordinal)) return member.Value;
                return null;
            }
        }

        /// <summary>Whether a member has this name.</summary>
        public bool Has(string name) => this[name] is not null;

        /// <summary>The value under a name, which must be there and of this kind.</summary>
        /// <exception cref="Malformed"><c>json.member</c>: absent, or of another kind.</exception>
        public T Require<T>(string name) where T : Json => this[name] as T
            ?? throw new Malformed("json.member", $"The member \"{name}\" must be present and of the kind {typeof(T).Name}.");

        /// <summary>The value under a name if it is there; then it must be of this kind.</summary>
        /// <exception cref="Malformed"><c>json.member</c>: there, but of another kind.</exception>
        public T? Optional<T>(string name) where T : Json => Has(name) ? Require<T>(name) : null;

        /// <summary>A copy with this member replaced in place, or added at the end.</summary>
        public Obj With(string name, Json value)
        {
            var at = Array.FindIndex(members, m => string.Equals(m.Name, name, StringComparison.Ordinal));
            if (at < 0) return new Obj([.. members, new Member(name, value)], known: true);
            var copy = (Member[])members.Clone();
            copy[at] = new Member(name, value);
            return new Obj(copy, known: true);
        }

        /// <summary>A copy without this member; the same members if it has none of that name.</summary>
        public Obj Without(string name) =>
            new([.. members.Where(m => !string.Equals(m.Name, name, StringComparison.Ordinal))], known: true);

        /// <inheritdoc/>
        public bool Equals(Obj? other) => other is not null && members.Length == other.members.Length
            && members.OrderBy(m => m.Name, StringComparer.Ordinal).SequenceEqual(other.members.OrderBy(m => m.Name, StringComparer.Ordinal));

        /// <inheritdoc/>
        public override int GetHashCode() => members.Aggregate(members.Length, (sum, m) => sum ^ m.GetHashCode());
    }

    /// <summary>One member of an object.</summary>
    public readonly record struct Member(string Name, Json Value);

    /// <summary>Text as JSON.</summary>
    public static implicit operator Json(string value) => new Str(value);

    /// <summary>A whole number as JSON.</summary>
    public static implicit operator Json(long value) => new Int(value);

    /// <summary>A truth value as JSON.</summary>
    public static implicit operator Json(bool value) => new Bool(value);
}
