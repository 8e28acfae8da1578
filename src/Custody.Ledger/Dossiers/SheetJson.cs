using System.Collections;
using System.Globalization;
using System.Reflection;
using System.Text.Json.Serialization;
using Custody.Bats;
using Custody.Evidence;
using Custody.Transparency;

namespace Custody.Ledger;

/// <summary>A read model as JSON, member for member as the server's serializer writes it (<see cref="JsonText"/>; a test compares the two). That
/// one makes code for each type while it runs, which the natively compiled checker cannot.</summary>
static class SheetJson
{
    /// <param name="value">The value; never null.</param>
    /// <param name="declared">The type its place declares: only the members of that type are written.</param>
    internal static Json Of(object value, Type declared) => value switch
    {
        string text => new Json.Str(text),
        bool truth => new Json.Bool(truth),
        int number => new Json.Int(number),
        long number => new Json.Int(number),
        Enum word => new Json.Str(Shape.MemberName(word.ToString())),
        DateTimeOffset time => new Json.Str(time.ToString("yyyy-MM-dd'T'HH:mm:ss.FFFFFFFzzz", CultureInfo.InvariantCulture)),
        Quantity quantity => new ObjBuilder { { "value", quantity.Value.Text }, { "unit", quantity.Unit.Code } }.Build(),
        Money money => new ObjBuilder { { "amount", money.Amount.Text }, { "currency", money.Currency.Code } }.Build(),
        Alias or PartyId or StreamName or PictureHash or Edtf => new Json.Str(value.ToString()!),
        IEnumerable list => new Json.Arr([.. list.Cast<object>().Select(item => Of(item, ElementOf(declared) ?? item.GetType()))]),
        _ => new Json.Obj(Members(declared).Select(m => (m, Value: m.GetValue(value))).Where(m => m.Value is not null)
            .Select(m => new Json.Member(Shape.MemberName(m.m.Name), Of(m.Value!, m.m.PropertyType)))),
    };

    static IEnumerable<PropertyInfo> Members(Type type) => (Nullable.GetUnderlyingType(type) ?? type)
        .GetProperties(BindingFlags.Public | BindingFlags.Instance)
        .Where(p => p.GetMethod is { IsPublic: true } && p.GetIndexParameters().Length == 0 && !p.IsDefined(typeof(JsonIgnoreAttribute)));

    static Type? ElementOf(Type type) => type.IsGenericType && type.GetGenericArguments() is [var element] ? element : null;
}
