namespace Custody.Server.Citing;

/// <summary>A source as typed.</summary>
public sealed class SourceForm
{
    public string? Kind { get; set; }
    public string? Standing { get; set; }
    public string? Play { get; set; }
    public string? When { get; set; }
    public string? CopyOf { get; set; }
    public string? SameOccasion { get; set; }
    /// <summary>A picture that stands on the bat's record.</summary>
    public string? Chosen { get; set; }

    /// <summary>The name of one that does not.</summary>
    public string? Picture { get; set; }
    public string? Title { get; set; }
    public string? Holder { get; set; }
    public string? WhatItShows { get; set; }
}
