using System.Buffers.Binary;

namespace Custody.Transparency;

/// <summary>The ZIP64 extended information field (APPNOTE 4.5.3), the only extra field a bag's archive may hold.</summary>
static class Zip64Extra
{
    /// <summary>
    /// Replaces each value that is all ones by the next one of the field, in the order of the standard. The field must hold exactly the values
    /// that are needed, each too large for its 32 bits; without any, there must be no field.
    /// </summary>
    /// <exception cref="Malformed"><c>zip.extra</c>.</exception>
    internal static void Resolve(ReadOnlySpan<byte> extra, ref long size, ref long compressed, ref long offset)
    {
        var values = extra;
        if (!extra.IsEmpty)
        {
            if (extra.Length < 12 || BinaryPrimitives.ReadUInt16LittleEndian(extra) != ZipForm.Zip64Extra
                || BinaryPrimitives.ReadUInt16LittleEndian(extra[2..]) != extra.Length - 4) throw Bad();
            values = extra[4..];
        }
        values = Take(values, ref size);
        values = Take(values, ref compressed);
        values = Take(values, ref offset);
        if (!values.IsEmpty) throw Bad();
    }

    static ReadOnlySpan<byte> Take(ReadOnlySpan<byte> values, scoped ref long value)
    {
        if (value != ZipForm.Full32) return values;
        if (values.Length < 8) throw Bad();
        value = BinaryPrimitives.ReadInt64LittleEndian(values);
        return ZipForm.Big(value) ? values[8..] : throw Bad();
    }

    static Malformed Bad() => new("zip.extra", "A file carries an extra field other than the ZIP64 sizes it needs.");
}
