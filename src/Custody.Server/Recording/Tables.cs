using Npgsql;
using NpgsqlTypes;

namespace Custody.Server.Recording;

/// <summary>Commands over the tables beside the events: <c>{0}</c> in a statement stands for the ledger's schema.</summary>
public sealed class Tables(NpgsqlDataSource database, LedgerPlace place)
{
    public NpgsqlCommand Command(string sql, params NpgsqlParameter[] values)
    {
        var command = database.CreateCommand(sql.Replace("{0}", place.Schema, StringComparison.Ordinal));
        command.Parameters.AddRange(values);
        return command;
    }
}

/// <summary>Positional parameters, each with its type said: PostgreSQL guesses none.</summary>
static class Parameters
{
    public static NpgsqlParameter Bytes(byte[] value) => Of(value, NpgsqlDbType.Bytea);

    public static NpgsqlParameter Text(string value) => Of(value, NpgsqlDbType.Text);

    public static NpgsqlParameter Texts(IEnumerable<string> values) => Of(values.ToArray(), NpgsqlDbType.Array | NpgsqlDbType.Text);

    public static NpgsqlParameter Number(long value) => Of(value, NpgsqlDbType.Bigint);

    public static NpgsqlParameter Day(DateOnly value) => Of(value, NpgsqlDbType.Date);

    public static NpgsqlParameter Time(DateTimeOffset value) => Of(value.ToUniversalTime(), NpgsqlDbType.TimestampTz);

    static NpgsqlParameter Of(object value, NpgsqlDbType type) => new() { Value = value, NpgsqlDbType = type };
}
