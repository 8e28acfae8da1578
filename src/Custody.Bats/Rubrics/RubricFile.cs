using System.Collections.Immutable;

namespace Custody.Bats;

/// <summary>One version of a rubric.</summary>
/// <param name="Published">Number of its <c>RubricPublished</c>.</param>
/// <param name="Retired">Number of its <c>RubricRetired</c>.</param>
public sealed record RubricVersion(long Published, long? Retired);

/// <summary>One rubric through its versions. Opinions cite a version by its entry and keep it for ever, retired or not.</summary>
public sealed record RubricFile : StreamState<RubricFile>
{
    /// <summary>By version number, from 1.</summary>
    public ImmutableSortedDictionary<long, RubricVersion> Versions { get; init; } = ImmutableSortedDictionary<long, RubricVersion>.Empty;
}

/// <summary>A fact on a rubric's stream.</summary>
public abstract record RubricFact : Fact<RubricFile>;

/// <summary>A command on a rubric's stream.</summary>
public abstract record RubricCommand : Command<RubricFile>;
