using System.Text.Unicode;

namespace Custody.Server.Photographs;

/// <summary>Plain text: valid UTF-8 with no control characters but tab, line feed, carriage return and form feed.</summary>
static class PlainText
{
    public static bool Is(ReadOnlySpan<byte> bytes) => bytes.Length > 0 && Utf8.IsValid(bytes) && !HasControls(bytes);

    static bool HasControls(ReadOnlySpan<byte> bytes)
    {
        foreach (var b in bytes)
        {
            if (b < 0x20 ? b is not (0x09 or 0x0A or 0x0C or 0x0D) : b == 0x7F) return true;
        }
        return false;
    }
}
