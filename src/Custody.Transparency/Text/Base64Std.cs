namespace Custody.Transparency;

/// <summary>Standard base64 with padding (RFC 4648 section 4), one spelling only: what signed notes and checkpoints carry.</summary>
public static class Base64Std
{
    static readonly sbyte[] Table = Base64.Table("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/");

    /// <summary>The text of these bytes.</summary>
    public static string Encode(ReadOnlySpan<byte> bytes) => Convert.ToBase64String(bytes);

    /// <summary>The bytes of this text.</summary>
    /// <exception cref="Malformed"><c>base64</c>: wrong padding, white space, a foreign character, or spare bits that are not zero.</exception>
    public static byte[] Decode(ReadOnlySpan<char> text) => TryDecode(text, out var bytes)
        ? bytes
        : throw new Malformed("base64", "The text is not base64 with exact padding and without white space and spare bits.");

    /// <summary>The bytes of this text, or false.</summary>
    public static bool TryDecode(ReadOnlySpan<char> text, out byte[] bytes)
    {
        bytes = [];
        if (text.Length % 4 != 0) return false;
        var padding = text.EndsWith("==") ? 2 : text.EndsWith("=") ? 1 : 0;
        text = text[..^padding];
        bytes = new byte[Base64.Length(text.Length)];
        return Base64.TryDecode(text, Table, bytes, out _);
    }
}
