using System.Text.Json;
using System.Text.Json.Serialization;
using Custody.Evidence;

namespace Custody.Bats;

/// <summary>How commands arrive and folded states are kept as JSON: values as the words they are written with. Entries are not written
/// this way; their bytes are the ledger's own.</summary>
public static class JsonText
{
    /// <summary>Camel case, enumerated words as text, unknown members refused.</summary>
    public static JsonSerializerOptions Options { get; } = Configure(new(JsonSerializerDefaults.Web));

    public static JsonSerializerOptions Configure(JsonSerializerOptions options)
    {
        options.PropertyNamingPolicy = JsonNamingPolicy.CamelCase;
        options.UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow;
        options.NumberHandling = JsonNumberHandling.Strict;
        options.DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull;
        options.Converters.Add(new JsonStringEnumConverter(JsonNamingPolicy.CamelCase, allowIntegerValues: false));
        options.Converters.Add(new Worded<Alias>(Alias.Parse));
        options.Converters.Add(new Worded<PartyId>(PartyId.Parse));
        options.Converters.Add(new Worded<StreamName>(StreamName.Parse));
        options.Converters.Add(new Worded<PictureHash>(text => new PictureHash(text)));
        options.Converters.Add(new Worded<Edtf>(Edtf.Parse));
        return options;
    }

    /// <summary>A value written as one word, also as a property name.</summary>
    sealed class Worded<T>(Func<string, T> parse) : JsonConverter<T> where T : notnull
    {
        public override T Read(ref Utf8JsonReader reader, Type type, JsonSerializerOptions options) =>
            reader.TokenType == JsonTokenType.String ? Parsed(reader.GetString()!) : throw new JsonException("A text is expected here.");

        public override void Write(Utf8JsonWriter writer, T value, JsonSerializerOptions options) => writer.WriteStringValue(value.ToString());

        public override T ReadAsPropertyName(ref Utf8JsonReader reader, Type type, JsonSerializerOptions options) => Parsed(reader.GetString()!);

        public override void WriteAsPropertyName(Utf8JsonWriter writer, T value, JsonSerializerOptions options) =>
            writer.WritePropertyName(value.ToString()!);

        T Parsed(string text)
        {
            try
            {
                return parse(text);
            }
            catch (FormatException refused)
            {
                throw new JsonException(refused.Message, refused);
            }
        }
    }
}
