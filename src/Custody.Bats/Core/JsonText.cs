using System.Text.Json;
using System.Text.Json.Serialization;
using System.Text.Json.Serialization.Metadata;
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
        options.RespectNullableAnnotations = true;
        options.TypeInfoResolver = new DefaultJsonTypeInfoResolver { Modifiers = { RequireWhatCannotBeNull } };
        options.Converters.Add(new JsonStringEnumConverter(JsonNamingPolicy.CamelCase, allowIntegerValues: false));
        options.Converters.Add(new Worded<Alias>(Alias.Parse));
        options.Converters.Add(new Worded<PartyId>(PartyId.Parse));
        options.Converters.Add(new Worded<StreamName>(StreamName.Parse));
        options.Converters.Add(new Worded<PictureHash>(text => new PictureHash(text)));
        options.Converters.Add(new Worded<Edtf>(text => Edtf.TryParse(text, out var date, out var refusal) ? date : throw new ValueRefused(refusal)));
        options.Converters.Add(new Worded<DecimalText>(DecimalText.Parse));
        options.Converters.Add(new QuantityConverter());
        options.Converters.Add(new MoneyConverter());
        return options;
    }

    /// <summary>A member that is left out must never quietly become 0, the first word of an enumeration, or null.</summary>
    static void RequireWhatCannotBeNull(JsonTypeInfo type)
    {
        foreach (var member in type.Properties.Where(p => p.AssociatedParameter is { IsNullable: false, HasDefaultValue: false })) member.IsRequired = true;
    }

    /// <summary>{"value":"33.5","unit":"[in_i]"}.</summary>
    sealed class QuantityConverter : JsonConverter<Quantity>
    {
        public override Quantity Read(ref Utf8JsonReader reader, Type type, JsonSerializerOptions options)
        {
            var (value, unit) = TwoTexts(ref reader, "value", "unit");
            return Quantity.TryParse(value, unit, out var quantity, out var refusal) ? quantity : throw new ValueRefused(refusal);
        }

        public override void Write(Utf8JsonWriter writer, Quantity value, JsonSerializerOptions options) =>
            WriteTwo(writer, ("value", value.Value.Text), ("unit", value.Unit.Code));
    }

    /// <summary>{"amount":"12500.00","currency":"USD"}; never negative.</summary>
    sealed class MoneyConverter : JsonConverter<Money>
    {
        public override Money Read(ref Utf8JsonReader reader, Type type, JsonSerializerOptions options)
        {
            var (amount, currency) = TwoTexts(ref reader, "amount", "currency");
            return Money.TryParse(amount, currency, out var money, out var refusal) ? money : throw new ValueRefused(refusal);
        }

        public override void Write(Utf8JsonWriter writer, Money value, JsonSerializerOptions options) =>
            WriteTwo(writer, ("amount", value.Amount.Text), ("currency", value.Currency.Code));
    }

    static (string? First, string? Second) TwoTexts(ref Utf8JsonReader reader, string first, string second)
    {
        using var document = JsonDocument.ParseValue(ref reader);
        var root = document.RootElement;
        if (root.ValueKind != JsonValueKind.Object || root.EnumerateObject().Any(p => p.Name != first && p.Name != second))
            throw new JsonException($"An object with {first} and {second} is expected here.");
        return (Text(root, first), Text(root, second));
    }

    static string? Text(JsonElement root, string name) =>
        root.TryGetProperty(name, out var member) && member.ValueKind == JsonValueKind.String ? member.GetString() : null;

    static void WriteTwo(Utf8JsonWriter writer, (string Name, string Value) first, (string Name, string Value) second)
    {
        writer.WriteStartObject();
        writer.WriteString(first.Name, first.Value);
        writer.WriteString(second.Name, second.Value);
        writer.WriteEndObject();
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

/// <summary>A value in a command was refused by name where it is read: a date, a quantity, an amount.</summary>
public sealed class ValueRefused(EvidenceRefusal refusal) : JsonException(refusal.Sentence)
{
    public Refusal Refusal { get; } = new(refusal.Code, refusal.Sentence, refusal.Remedy);
}
