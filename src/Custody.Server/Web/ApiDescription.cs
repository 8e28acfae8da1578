using System.Reflection;
using Custody.Bats;
using Custody.Evidence;
using Custody.Server.Recording;
using Microsoft.AspNetCore.Http.Metadata;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.OpenApi;
using Microsoft.OpenApi;
using Wolverine.Http;

namespace Custody.Server.Web;

/// <summary>What the OpenAPI document says of all addresses, said once: answers and refusals, headers, how values are written.</summary>
static class ApiDescription
{
    const string Name26 = "[0-9A-HJKMNP-TV-Z]{25}[048CGMRW]";

    public static void Configure(OpenApiOptions options)
    {
        options.AddDocumentTransformer((document, _, _) =>
        {
            document.Info.Title = "Custody";
            document.Info.Version = "1";
            document.Info.Description = "Every act is a POST named as the command is. A refusal is a problem (RFC 9457) with a stable code; nothing is recorded then.";
            return Task.CompletedTask;
        });
        options.AddOperationTransformer(Complete);
        options.AddSchemaTransformer(Write);
    }

    /// <summary>Endpoints: what they do, in the words of their doc comments, and what they answer.</summary>
    public static void Describe(HttpChain chain)
    {
        var method = chain.Method.Method;
        // Pages for people are no part of the API.
        if (method.DeclaringType!.IsDefined(typeof(ExcludeFromDescriptionAttribute), inherit: false)) chain.Metadata.ExcludeFromDescription();
        var isAct = chain.InputType()?.IsAssignableTo(typeof(Command)) == true;
        chain.Metadata.WithTags(chain.Method.HandlerType.Namespace!.Split('.')[^1]).WithSummary(DocComments.SummaryOf(method));
        chain.Metadata.Finally(endpoint =>
        {
            // Every doorway answers with what it writes itself; that type says nothing to a reader.
            foreach (var empty in endpoint.Metadata.Where(m => m is IProducesResponseTypeMetadata p && (p.Type is null || p.Type == typeof(void) || p.Type == typeof(IResult))).ToList())
                endpoint.Metadata.Remove(empty);
            foreach (var answer in isAct ? Recorded : method.GetCustomAttributes<ProducesResponseTypeAttribute>().Select(a => (a.StatusCode, a.Type)))
                endpoint.Metadata.Add(new ProducesResponseTypeMetadata(answer.StatusCode, answer.Type, ["application/json"]));
            foreach (var status in isAct ? [400, 404, 409, 422] : method.GetCustomAttribute<Refuses>()?.Statuses ?? [400, 404])
                endpoint.Metadata.Add(new ProducesResponseTypeMetadata(status, typeof(ProblemDetails), ["application/problem+json"]));
        });
    }

    static IEnumerable<(int StatusCode, Type Type)> Recorded => [(StatusCodes.Status201Created, typeof(EntryAnswer[])), (StatusCodes.Status200OK, typeof(EntryAnswer[]))];

    static Task Complete(OpenApiOperation operation, OpenApiOperationTransformerContext context, CancellationToken ct)
    {
        operation.Description = null; // the adaptor's name: the summary says what it does
        if (context.Description.ParameterDescriptions.Any(p => p.Type?.IsAssignableTo(typeof(Command)) == true))
        {
            operation.Parameters ??= [];
            operation.Parameters.Add(Header(ActDoor.KeyHeader, "Names this submission: sent again, it has no second effect and gets the first answer."));
            operation.Parameters.Add(Header("If-Match", "Number of the last entry seen, in quotes: a stream that has moved on since is a conflict."));
        }
        else if (context.Description.HttpMethod == "POST" && !context.Description.ParameterDescriptions.Any(p => p.Type?.IsAssignableTo(typeof(IAsked)) == true))
        {
            operation.RequestBody = new OpenApiRequestBody
            {
                Required = true,
                Content = new Dictionary<string, OpenApiMediaType> { ["application/octet-stream"] = new() { Schema = new OpenApiSchema { Type = JsonSchemaType.String, Format = "binary" } } },
            };
        }
        return Task.CompletedTask;
    }

    static OpenApiParameter Header(string name, string description) => new()
    {
        Name = name,
        In = ParameterLocation.Header,
        Description = description,
        Schema = new OpenApiSchema { Type = JsonSchemaType.String },
    };

    static Task Write(OpenApiSchema schema, OpenApiSchemaTransformerContext context, CancellationToken ct)
    {
        var type = Nullable.GetUnderlyingType(context.JsonTypeInfo.Type) ?? context.JsonTypeInfo.Type;
        if (type == typeof(PartyId)) Text(schema, $"^party/{Name26}$", "The name of a party's stream.");
        else if (type == typeof(StreamName)) Text(schema, $"^[a-z]+/{Name26}$", "The name of a stream.");
        else if (type == typeof(Alias)) Text(schema, "^p[1-9][0-9]*$", "A person or firm as one stream knows it.");
        else if (type == typeof(PictureHash)) Text(schema, "^[A-Za-z0-9_-]{43}$", "SHA-256 of a released copy, base64url.");
        else if (type == typeof(Edtf)) Text(schema, null, "A date in the Extended Date/Time Format, levels 0 to 2: 1952, 1952-05~, 1950/1952, [1951,1953].");
        else if (type == typeof(DecimalText)) Text(schema, @"^-?(0|[1-9][0-9]*)(\.[0-9]+)?$", "A decimal number in plain form, rounded as its method says.");
        else if (type == typeof(Quantity)) Two(schema, "value", "unit", "A decimal number and its UCUM unit.");
        else if (type == typeof(Money)) Two(schema, "amount", "currency", "A decimal amount, never negative, and its ISO 4217 code.");
        else if (type == typeof(ProblemDetails)) Problem(schema);
        else if (schema.Required is { Count: > 0 }) schema.Required.IntersectWith(context.JsonTypeInfo.Properties.Where(p => p.IsRequired).Select(p => p.Name));
        return Task.CompletedTask;
    }

    static void Text(OpenApiSchema schema, string? pattern, string description) =>
        (schema.Type, schema.Pattern, schema.Description) = (JsonSchemaType.String, pattern, description);

    static void Two(OpenApiSchema schema, string first, string second, string description)
    {
        (schema.Type, schema.Description, schema.AdditionalPropertiesAllowed) = (JsonSchemaType.Object, description, false);
        schema.Properties = new Dictionary<string, IOpenApiSchema>
        {
            [first] = new OpenApiSchema { Type = JsonSchemaType.String },
            [second] = new OpenApiSchema { Type = JsonSchemaType.String },
        };
        schema.Required = new HashSet<string> { first, second };
    }

    static void Problem(OpenApiSchema schema)
    {
        schema.AdditionalPropertiesAllowed = true;
        schema.Properties ??= new Dictionary<string, IOpenApiSchema>();
        schema.Properties["code"] = new OpenApiSchema { Type = JsonSchemaType.String, Description = "The refusal's stable code." };
    }
}

/// <summary>The statuses with which a doorway refuses, where they are not 400 and 404.</summary>
[AttributeUsage(AttributeTargets.Method)]
sealed class Refuses(params int[] statuses) : Attribute
{
    public int[] Statuses { get; } = statuses;
}
