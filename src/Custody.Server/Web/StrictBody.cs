using System.Text.Json;
using Custody.Bats;
using Custody.Evidence.Text;
using Custody.Server.Recording;
using Custody.Transparency;
using Microsoft.AspNetCore.Http.Metadata;

namespace Custody.Server.Web;

/// <summary>Reads every JSON body of the API the strict way before anything binds it: no duplicate names, no lone surrogates, no text that hides
/// or turns characters; texts are brought to normalisation form C. What is wrong is refused by name.</summary>
public sealed class StrictBody(RequestDelegate next)
{
    const int MaxBytes = 1 << 20;

    public async Task InvokeAsync(HttpContext http)
    {
        var type = http.GetEndpoint()?.Metadata.GetMetadata<IAcceptsMetadata>()?.RequestType;
        if (type is null || !(type.IsAssignableTo(typeof(Command)) || type.IsAssignableTo(typeof(IAsked))))
        {
            await next(http);
            return;
        }
        try
        {
            var strict = Jcs.Write(Normalised(Jcs.Parse(await Body(http.Request))));
            // Binding again below cannot fail where this does not: same bytes, same options.
            JsonSerializer.Deserialize(strict, type, JsonText.Options);
            http.Request.Body = new MemoryStream(strict);
            http.Request.ContentLength = strict.Length;
            http.Request.ContentType = "application/json";
        }
        catch (Refusing refusing)
        {
            await Problems.Unreadable(refusing.Refusal).ExecuteAsync(http);
            return;
        }
        catch (Malformed malformed)
        {
            await Problems.Unreadable(new(malformed.Code.Replace('.', '-'), malformed.Sentence, "Send one JSON object in UTF-8.")).ExecuteAsync(http);
            return;
        }
        catch (ValueRefused refused)
        {
            await Problems.Unreadable(refused.Refusal).ExecuteAsync(http);
            return;
        }
        catch (JsonException unbound)
        {
            await Problems.Unreadable(new("command-unreadable", $"The command cannot be read at {unbound.Path ?? "its beginning"}.",
                "Compare it with its schema in the OpenAPI document.")).ExecuteAsync(http);
            return;
        }
        await next(http);
    }

    static async Task<byte[]> Body(HttpRequest request)
    {
        using var bytes = new MemoryStream();
        var buffer = new byte[16_384];
        for (int read; (read = await request.Body.ReadAsync(buffer, request.HttpContext.RequestAborted)) > 0;)
        {
            bytes.Write(buffer, 0, read);
            if (bytes.Length > MaxBytes)
                throw new Refusing(new("body-too-large", "The body is larger than 1 MiB.", "Send photographs and documents by their own address."));
        }
        return bytes.ToArray();
    }

    static Json Normalised(Json json) => json switch
    {
        Json.Str text => new Json.Str(Fit(text.Value)),
        Json.Arr list => new Json.Arr([.. list.Items.Select(Normalised)]),
        Json.Obj map => new Json.Obj(map.Members.Select(m => new Json.Member(m.Name, Normalised(m.Value)))),
        _ => json,
    };

    static string Fit(string text) => TextAtTheDoor.Check(text, Door.MaxText, out var normalised, out var refusal)
        ? normalised
        : throw new Refusing(new(refusal.Code, refusal.Sentence, refusal.Remedy));

    sealed class Refusing(Refusal refusal) : Exception(refusal.Sentence)
    {
        public Refusal Refusal { get; } = refusal;
    }
}

/// <summary>What a doorway is asked in a JSON body that is no command: read as strictly.</summary>
public interface IAsked;
