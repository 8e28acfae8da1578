namespace Custody.Transparency;

/// <summary>base64url without padding (RFC 4648 section 5), one spelling only.</summary>
public static class Base64Url
{
    static readonly sbyte[] Table = Base64.Table("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_");

    /// <summary>The text of these bytes.</summary>
    public static string Encode(ReadOnlySpan<byte> bytes) => System.Buffers.Text.Base64Url.EncodeToString(bytes);

    /// <summary>The bytes of this text.</summary>
    /// <exception cref="Malformed"><c>base64url</c>: padding, white space, a foreign character, or spare bits that are not zero.</exception>
    public static byte[] Decode(ReadOnlySpan<char> text) => TryDecode(text, out var bytes)
        ? bytes
        : throw new Malformed("base64url", "The text is not base64url without padding, white space and spare bits.");

    /// <summary>The bytes of this text, or false.</summary>
    public static bool TryDecode(ReadOnlySpan<char> text, out byte[] bytes)
    {
        bytes = new byte[Base64.Length(text.Length)];
        return Base64.TryDecode(text, Table, bytes, out _);
    }

    /// <summary>The bytes of this text into a buffer, or false if it is wrong or longer than the buffer.</summary>
    public static bool TryDecode(ReadOnlySpan<char> text, Span<byte> destination, out int written) =>
        Base64.TryDecode(text, Table, destination, out written);
}
