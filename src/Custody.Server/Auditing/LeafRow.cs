using System.Globalization;
using Custody.Transparency;

namespace Custody.Server.Auditing;

/// <summary>One row of the leaf table. Sequence number, stream and number are null for a record that came back from the tiles and belongs to no stream known.</summary>
readonly record struct LeafRow(long Index, long? SeqId, string? Stream, long? N, LogRecord Record)
{
    public string Where => string.Create(CultureInfo.InvariantCulture, $"custody_leaf index {Index} ({Stream ?? "unnamed"} {N})");
}
