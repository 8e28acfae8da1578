using System.Threading.RateLimiting;
using Custody.Server.Private;
using Custody.Server.Recording;
using Microsoft.AspNetCore.Authentication;
using Microsoft.AspNetCore.Authentication.Cookies;
using Microsoft.AspNetCore.Authorization;
using Microsoft.AspNetCore.DataProtection;
using Microsoft.AspNetCore.Identity;
using Microsoft.EntityFrameworkCore;
using Npgsql;

namespace Custody.Server.Accounts;

static class AccountServices
{
    /// <summary>The limit on tries to sign in, by address.</summary>
    public const string TriesLimit = "tries";

    /// <summary>The largest form that a page of accounts takes, in bytes.</summary>
    public const int MostBytes = 64 << 10;

    /// <summary>The scheme that looks for a token or a session.</summary>
    public const string Either = "either";

    public static string SchemaOf(LedgerPlace place) => place.Schema + "_accounts";

    /// <summary>Accounts without a web server: for commands.</summary>
    public static void AddAccounts(this IServiceCollection services, LedgerPlace place)
    {
        var connection = new NpgsqlConnectionStringBuilder(place.ConnectionString) { SearchPath = SchemaOf(place) }.ConnectionString;
        services.AddDbContext<AccountsDb>(options => options.UseNpgsql(connection));
        services.AddDataProtection().SetApplicationName("custody").PersistKeysToFileSystem(KeysIn(place));
        services.AddIdentityCore<Account>(options =>
            {
                options.Stores.SchemaVersion = IdentitySchemaVersions.Version3;
                // Length, and nothing about kinds of characters: NIST SP 800-63B-4 section 3.1.1.2.
                options.Password = new() { RequiredLength = 15, RequiredUniqueChars = 1, RequireDigit = false, RequireLowercase = false, RequireUppercase = false, RequireNonAlphanumeric = false };
                options.Lockout = new() { AllowedForNewUsers = true, MaxFailedAccessAttempts = 10, DefaultLockoutTimeSpan = TimeSpan.FromMinutes(15) };
                options.User.AllowedUserNameCharacters = "";
            })
            .AddEntityFrameworkStores<AccountsDb>().AddSignInManager().AddClaimsPrincipalFactory<AccountClaims>().AddPasswordValidator<PlainPasswords>();
        services.AddScoped<AccountDesk>();
        services.AddSingleton<OwnBats>();
    }

    /// <summary>Who comes is known by their session's cookie or, in a program and at the API alone, by its token; what names nobody is for nobody. A token opens no
    /// page: there somebody could make a wider one, or a passkey.</summary>
    public static void AddSignIn(this IServiceCollection services)
    {
        services.AddSingleton<Sessions>();
        services.AddAuthentication(options => (options.DefaultScheme, options.DefaultSignInScheme) = (Either, IdentityConstants.ApplicationScheme))
            .AddPolicyScheme(Either, null, options => options.ForwardDefaultSelector = http =>
                IsForPrograms(http.Request) && (http.Request.Headers.ContainsKey("Authorization") || !http.Request.Cookies.ContainsKey(SessionCookie.NameOver(http.Request, CookieName)))
                    ? TokenSignIn.SchemeName : IdentityConstants.ApplicationScheme)
            .AddScheme<AuthenticationSchemeOptions, TokenSignIn>(TokenSignIn.SchemeName, null)
            .AddElsewhereOf(Environment.GetEnvironmentVariable)
            .AddIdentityCookies();
        services.AddOptions<CookieAuthenticationOptions>(IdentityConstants.ApplicationScheme).Configure<Sessions>((cookie, sessions) =>
        {
            cookie.SessionStore = sessions;
            cookie.CookieManager = new SessionCookie();
            (cookie.Cookie.Name, cookie.Cookie.Path) = (CookieName, "/");
            cookie.Cookie.SameSite = SameSiteMode.Lax;
            cookie.Cookie.SecurePolicy = CookieSecurePolicy.SameAsRequest;
            cookie.ExpireTimeSpan = TimeSpan.FromHours(12);
            (cookie.LoginPath, cookie.AccessDeniedPath, cookie.ReturnUrlParameter) = ("/sign-in", "/status/403", "back");
            cookie.Events.OnRedirectToLogin = Say(cookie.Events.OnRedirectToLogin, Web.Problems.NotSignedIn);
            cookie.Events.OnRedirectToAccessDenied = Say(_ => Status(_.HttpContext, StatusCodes.Status403Forbidden), Web.Problems.NotForYou);
        });
        services.AddAuthorizationBuilder().SetFallbackPolicy(new AuthorizationPolicyBuilder().RequireAssertion(_ => false).Build());
        services.AddRateLimiter(options =>
        {
            options.AddPolicy(TriesLimit, http => RateLimitPartition.GetFixedWindowLimiter(
                Web.Limits.NameOf(http.Connection.RemoteIpAddress), _ => new() { PermitLimit = 30, Window = TimeSpan.FromMinutes(1) }));
        });
    }

    public const string CookieName = "custody-session";

    /// <summary>Makes the tables where they are missing.</summary>
    public static async Task PrepareAccounts(this IServiceProvider services, CancellationToken ct)
    {
        var place = services.GetRequiredService<LedgerPlace>();
        using var read = new StreamReader(typeof(AccountServices).Assembly.GetManifestResourceStream("accounts.sql")!);
        var schema = SchemaOf(place);
        await using var connection = await services.GetRequiredService<NpgsqlDataSource>().OpenConnectionAsync(ct);
        await using var transaction = await connection.BeginTransactionAsync(ct);
        // Two nodes may start at once.
        await using var command = new NpgsqlCommand(
            $"select pg_advisory_xact_lock(hashtext('{schema}')); create schema if not exists {schema}; set local search_path to {schema}; {await read.ReadToEndAsync(ct)}", connection, transaction);
        await command.ExecuteNonQueryAsync(ct);
        await transaction.CommitAsync(ct);
    }

    static DirectoryInfo KeysIn(LedgerPlace place)
    {
        OwnerOnly.Folder(place.Folder("keys/web"));
        return new(place.Folder("keys/web"));
    }

    static bool IsForPrograms(HttpRequest request) => request.Path.StartsWithSegments("/api", StringComparison.Ordinal);

    static Func<Microsoft.AspNetCore.Authentication.RedirectContext<CookieAuthenticationOptions>, Task> Say(
        Func<Microsoft.AspNetCore.Authentication.RedirectContext<CookieAuthenticationOptions>, Task> page, Func<IResult> program) =>
        context => IsForPrograms(context.Request) ? program().ExecuteAsync(context.HttpContext) : page(context);

    static Task Status(HttpContext http, int status)
    {
        http.Response.StatusCode = status;
        return Task.CompletedTask;
    }
}
