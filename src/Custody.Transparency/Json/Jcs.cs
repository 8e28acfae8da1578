using System.Buffers;

namespace Custody.Transparency;

/// <summary>The JSON Canonicalization Scheme, RFC 8785: one spelling for every JSON value, so that its bytes can be hashed.</summary>
public static class Jcs
{
    /// <summary>The largest whole number that every IEEE 754 reader keeps exactly: 2^53 - 1.</summary>
    public const long MaxInteger = (1L << 53) - 1;

    /// <summary>Writes a value in its one canonical spelling, UTF-8 (RFC 8785 section 3.2).</summary>
    /// <exception cref="Malformed"><c>json.lone-surrogate</c>, <c>json.number-range</c> (NaN, infinities, whole numbers beyond 2^53-1).</exception>
    public static byte[] Write(Json value)
    {
        var writer = new JcsWriter(512);
        try
        {
            writer.Value(value);
            return writer.Written.ToArray();
        }
        finally
        {
            writer.Dispose();
        }
    }

    /// <summary>As <see cref="Write(Json)"/>, into a buffer of the caller's. Nothing is written when the value is refused.</summary>
    public static void Write(Json value, IBufferWriter<byte> destination)
    {
        var writer = new JcsWriter(512);
        try
        {
            writer.Value(value);
            destination.Write(writer.Written);
        }
        finally
        {
            writer.Dispose();
        }
    }

    /// <summary>
    /// Reads one JSON text (RFC 8259, and I-JSON as RFC 8785 section 3.1 asks): any spelling and order, but no duplicate names, byte order
    /// mark, invalid UTF-8, lone surrogates, numbers outside the double range, or bytes after the value.
    /// Whole numbers within ±(2^53-1) written without fraction and exponent come as Int, all others as Num.
    /// </summary>
    /// <param name="text">The whole text.</param>
    /// <param name="limits">What is accepted at most; <see cref="JsonLimits.Default"/> if not given.</param>
    /// <exception cref="Malformed">Anything else, with a code beginning <c>json.</c> and the byte offset.</exception>
    public static Json Parse(ReadOnlySpan<byte> text, JsonLimits? limits = null) => new JsonReader(text, limits ?? JsonLimits.Default).Document();

    /// <summary>Reads a text that must already be in canonical spelling.</summary>
    /// <exception cref="Malformed">As <see cref="Parse"/>; <c>json.not-canonical</c> at the first byte that would be written otherwise.</exception>
    public static Json ParseCanonical(ReadOnlySpan<byte> text, JsonLimits? limits = null)
    {
        var value = Parse(text, limits);
        var writer = new JcsWriter(text.Length);
        try
        {
            writer.Value(value);
            if (!text.SequenceEqual(writer.Written))
                throw new Malformed("json.not-canonical", "The JSON text is not in its canonical spelling.", text.CommonPrefixLength(writer.Written));
            return value;
        }
        finally
        {
            writer.Dispose();
        }
    }

    /// <summary>Whether these bytes are a JSON text in canonical spelling. Malformed bytes are not.</summary>
    public static bool IsCanonical(ReadOnlySpan<byte> text, JsonLimits? limits = null)
    {
        try
        {
            ParseCanonical(text, limits);
            return true;
        }
        catch (Malformed)
        {
            return false; // "no" is the whole answer here; ParseCanonical tells why
        }
    }
}
