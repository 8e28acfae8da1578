using System.Collections.Concurrent;
using System.Security.Claims;
using System.Security.Cryptography;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.Logging;
using Microsoft.IdentityModel.JsonWebTokens;
using Microsoft.IdentityModel.Tokens;

namespace Custody.Server.Tests.Accounts;

/// <summary>A small issuer on the loopback interface (OpenID Connect Core 1.0, code flow with PKCE): whoever is sent there is whom the test says.</summary>
sealed class Elsewhere : IAsyncDisposable
{
    public const string Client = "custody", Secret = "only for tests";

    static readonly string[] Codes = ["code"], Subjects = ["public"], Algorithms = ["RS256"];
    readonly WebApplication app;
    readonly RSA rsa = RSA.Create(2048);
    readonly ConcurrentDictionary<string, (string Nonce, string Challenge)> codes = new();

    Elsewhere()
    {
        var builder = WebApplication.CreateSlimBuilder();
        builder.Logging.ClearProviders();
        builder.WebHost.UseUrls("http://127.0.0.1:0");
        app = builder.Build();
        app.MapGet("/.well-known/openid-configuration", () => new Dictionary<string, object>
        {
            ["issuer"] = Url,
            ["authorization_endpoint"] = Url + "/authorize",
            ["token_endpoint"] = Url + "/token",
            ["jwks_uri"] = Url + "/keys",
            ["response_types_supported"] = Codes,
            ["subject_types_supported"] = Subjects,
            ["id_token_signing_alg_values_supported"] = Algorithms,
        });
        app.MapGet("/keys", () => new { keys = new[] { PublicKey() } });
        app.MapGet("/authorize", (HttpRequest http) =>
        {
            var code = Guid.NewGuid().ToString("N");
            codes[code] = (http.Query["nonce"]!, http.Query["code_challenge"]!);
            return Results.Redirect($"{http.Query["redirect_uri"]}?code={code}&state={Uri.EscapeDataString(http.Query["state"]!)}");
        });
        app.MapPost("/token", async (HttpRequest http) =>
        {
            var form = await http.ReadFormAsync();
            // RFC 7636 section 4.6: only whoever began the flow has the verifier.
            if (!codes.TryRemove(form["code"].ToString(), out var begun) || form["client_secret"] != Secret
                || Base64UrlEncoder.Encode(SHA256.HashData(System.Text.Encoding.ASCII.GetBytes(form["code_verifier"].ToString()))) != begun.Challenge) return Results.BadRequest();
            return Results.Json(new { access_token = "unused", token_type = "Bearer", expires_in = 60, id_token = IdToken(begun.Nonce) });
        });
    }

    public string Url => app.Urls.Single();

    /// <summary>Who is sent back.</summary>
    public string Subject { get; set; } = "s1";
    public string Email { get; set; } = "";
    public bool Verified { get; set; } = true;

    public static async Task<Elsewhere> Start()
    {
        Elsewhere elsewhere = new();
        await elsewhere.app.StartAsync();
        return elsewhere;
    }

    /// <summary>As <c>CUSTODY_OIDC_*</c> would say it.</summary>
    public string? Setting(string name) => name switch
    {
        "CUSTODY_OIDC_AUTHORITY" => Url,
        "CUSTODY_OIDC_CLIENT" => Client,
        "CUSTODY_OIDC_SECRET" => Secret,
        "CUSTODY_OIDC_NAME" => "Elsewhere",
        _ => null,
    };

    string IdToken(string nonce) => new JsonWebTokenHandler().CreateToken(new SecurityTokenDescriptor
    {
        Issuer = Url,
        Audience = Client,
        Expires = DateTime.UtcNow.AddMinutes(5),
        Subject = new ClaimsIdentity([new("sub", Subject), new("email", Email), new("email_verified", Verified ? "true" : "false", ClaimValueTypes.Boolean), new("nonce", nonce)]),
        SigningCredentials = new(new RsaSecurityKey(rsa) { KeyId = "k1" }, SecurityAlgorithms.RsaSha256),
    });

    object PublicKey()
    {
        var key = rsa.ExportParameters(false);
        return new { kty = "RSA", use = "sig", alg = "RS256", kid = "k1", n = Base64UrlEncoder.Encode(key.Modulus), e = Base64UrlEncoder.Encode(key.Exponent) };
    }

    public async ValueTask DisposeAsync()
    {
        await app.DisposeAsync();
        rsa.Dispose();
    }
}
