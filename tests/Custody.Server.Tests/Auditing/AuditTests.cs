using Custody.Server.Auditing;

namespace Custody.Server.Tests.Auditing;

/// <summary>For every kind of damage to what is stored, what the audit finds, and which row it names.</summary>
public sealed class AuditTests(AuditStage stage) : IClassFixture<AuditStage>
{
    /// <summary>One damage.</summary>
    /// <param name="Sql">What is done to the database; :first and :second are the two bats, S the schema.</param>
    /// <param name="Named">What stands in the place of at least one finding.</param>
    public sealed record Damage(string Name, string Sql, string Named, params string[] Codes)
    {
        public override string ToString() => Name;
    }

    static readonly Damage[] Damages =
    [
        new("a trigger is disabled", "alter table S.mt_events disable trigger custody_events_put_back", "custody_events_put_back", "trigger-disabled"),
        new("a trigger is dropped", "drop trigger custody_pending_after_insert on S.mt_events", "custody_pending_after_insert", "trigger-missing"),
        new("a guard's function does nothing", "create or replace function S.custody_refuse_change() returns trigger language plpgsql as $$ begin return new; end $$",
            "custody_refuse_change", "function-changed"),
        new("a unique constraint is dropped", "alter table S.custody_leaf drop constraint custody_leaf_tag_key", "custody_leaf (tag)", "constraint-missing"),
        new("an entry is changed and stays well formed", Bytes(":first", 1, "replace(t, 'broughtIn', 'sent')"), "(:first 1)", "chain-broken", "entry-changed"),
        new("an entry is changed and is none any more", Bytes(":first", 3, "left(t, 100)"), "(:first 3)", "entry-changed", "entry-form", "value-digest"),
        new("an entry is written with a space more", Bytes(":first", 3, "replace(t, '\"n\":3', '\"n\": 3')"), "(:first 3)", "entry-changed", "entry-form", "value-digest"),
        new("an entry's bytes are emptied", "update S.mt_events set bdata = null where stream_id = ':first' and version = 3", "(:first 3)", "entry-bytes-missing", "entry-changed", "value-digest"),
        new("two entries change places", "update S.mt_events e set bdata = o.bdata from S.mt_events o where e.version = 1 and o.version = 1 and ((e.stream_id = ':first' and o.stream_id = ':second') or (e.stream_id = ':second' and o.stream_id = ':first'))",
            "(:first 1)", "entry-changed", "leaf-place", "leaf-tag", "row-stream", "value-digest"),
        new("the last entry of a stream is deleted", "delete from S.mt_events where stream_id = ':first' and version = 3", "(:first 3)", "leaf-without-event", "stream-version", "value-digest"),
        new("an entry in the middle is deleted", "delete from S.mt_events where stream_id = ':first' and version = 2", "(:first 3)", "entries-missing", "leaf-without-event", "value-digest"),
        new("a whole stream is deleted", "delete from S.mt_events where stream_id = ':second'; delete from S.mt_streams where id = ':second'", "(:second 1)", "leaf-without-event", "value-digest"),
        new("an entry is put in twice", "insert into S.mt_events (seq_id, id, stream_id, version, data, bdata, type, mt_dotnet_type) select 100000, gen_random_uuid(), stream_id, 99, data, bdata, type, mt_dotnet_type from S.mt_events where stream_id = ':first' and version = 3",
            "seq_id 100000", "chain-twice", "event-without-leaf", "row-number"),
        new("the number beside an entry is changed", "update S.mt_events set version = 77 where stream_id = ':first' and version = 3", "(:first 77)", "row-number", "value-digest"),
        new("the stream beside an entry is changed", "update S.mt_events set stream_id = ':second', version = 3 where stream_id = ':first' and version = 3", "(:second 3)", "row-stream", "value-digest"),
        new("the type beside an entry is changed", "update S.mt_events set type = 'party-entry-1' where stream_id = ':first' and version = 1", "(:first 1)", "row-columns", "row-type"),
        new("an entry is hidden from the projections", "update S.mt_events set is_archived = true where stream_id = ':first' and version = 1", "(:first 1)", "row-archived"),
        new("an entry is replaced by a line that says it is gone", Bytes(":first", 3, "'{\"gone\":{\"hash\":\"' || replace(replace(rtrim(encode(sha256(bdata), 'base64'), '='), '+', '-'), '/', '_') || '\",\"n\":3,\"why\":{\"hash\":\"' || replace(replace(rtrim(encode(sha256(bdata), 'base64'), '='), '+', '-'), '/', '_') || '\",\"n\":1,\"stream\":\":first\"}}}'"),
            "(:first 3)", "entry-removed", "value-digest"),
        new("a leaf's hash is changed", "update S.custody_leaf set hash = sha256('x') where stream = ':first' and n = 3", "(:first 3)", "checkpoint-root", "entry-changed", "leaf-other", "tile-other"),
        new("an entry is rewritten together with its leaf",
            Bytes(":first", 3, "replace(t, '\"purpose\":\"return\"', '\"purpose\":\"sale\"')") + "; update S.custody_leaf l set hash = sha256(e.bdata) from S.mt_events e where e.seq_id = l.seq_id and l.stream = ':first' and l.n = 3",
            "(:first 3)", "checkpoint-root", "leaf-other", "tile-other"),
        new("a leaf's tag is changed", "update S.custody_leaf set tag = sha256('x') where stream = ':first' and n = 3", "(:first 3)", "checkpoint-root", "leaf-other", "leaf-tag", "tile-other"),
        new("a leaf's number is changed", "update S.custody_leaf set n = 9 where stream = ':first' and n = 3", "(:first 9)", "leaf-place"),
        new("a leaf's stream is changed", "update S.custody_leaf set stream = 'bat/x' where stream = ':first' and n = 3", "(bat/x 3)", "leaf-place"),
        new("a leaf in the middle is deleted", "delete from S.custody_leaf where stream = ':first' and n = 3", "custody_leaf index", "event-without-leaf", "leaf-missing"),
        new("the last leaf is deleted", "delete from S.custody_leaf where index = (select max(index) from S.custody_leaf)", "checkpoints", "checkpoint-beyond", "event-without-leaf"),
        new("two leaves change places", "update S.custody_leaf set index = -1 where index = 4; update S.custody_leaf set index = 4 where index = 5; update S.custody_leaf set index = 5 where index = -1",
            "custody_leaf index 4", "checkpoint-root", "leaf-other", "tile-other"),
        new("a leaf is forgotten by its entry", "update S.custody_leaf set seq_id = null, stream = null, n = null where stream = ':first' and n = 3", "(:first 3)", "event-without-leaf", "leaf-unnamed"),
        new("an entry that waits is forgotten", "delete from S.custody_pending", "mt_events seq_id", "event-without-leaf"),
        new("something waits that is in the log", "insert into S.custody_pending select seq_id from S.mt_events where stream_id = ':first' and version = 1", "custody_pending seq_id", "pending-unfounded"),
        new("a stream says that it is longer", "update S.mt_streams set version = 9 where id = ':first'", ":first", "stream-version"),
        new("a stream's row is deleted", "delete from S.mt_streams where id = ':first'", ":first", "stream-missing"),
        new("a stream is hidden", "update S.mt_streams set is_archived = true where id = ':first'", ":first", "stream-archived"),
        new("a stream is made up", "insert into S.mt_streams (id, version) values ('bat/0000000000000000000000000W', 1)", "bat/0000000000000000000000000W", "stream-empty"),
        new("a checkpoint's root is changed", "update S.custody_checkpoint set root = sha256('x') where size = (select min(size) from S.custody_checkpoint)", "custody_checkpoint size", "checkpoint-root"),
        new("a checkpoint's note is changed", "update S.custody_checkpoint set note = note || ' ' where size = (select min(size) from S.custody_checkpoint)", "custody_checkpoint size", "checkpoint-other"),
        new("a checkpoint's row is deleted", "delete from S.custody_checkpoint where size = (select min(size) from S.custody_checkpoint)", "custody_checkpoint size", "checkpoint-row-missing"),
        new("a withheld value is changed", "update S.custody_withheld set cipher = cipher || '\\x00'::bytea where stream = ':first' and n = 1 and name = 'description'", "(:first, 1, /body, description)", "value-cover"),
        new("a withheld value is cut to nothing", "update S.custody_withheld set cipher = ''::bytea where stream = ':first' and n = 1 and name = 'description'", "(:first, 1, /body, description)", "value-cover"),
        new("a withheld value is put under a key that is not here", "update S.custody_withheld set key_id = '0000000000000000000000000W' where stream = ':first' and n = 1 and name = 'description'", "(:first, 1, /body, description)", "value-key"),
        new("a withheld value names a file in place of a key", "update S.custody_withheld set key_id = '../log/signer' where stream = ':first' and n = 1 and name = 'description'", "(:first, 1, /body, description)", "value-key"),
        new("two withheld values change places", "update S.custody_withheld w set nonce = o.nonce, cipher = o.cipher, key_id = o.key_id from S.custody_withheld o where w.name = 'description' and o.name = 'description' and w.stream = ':first' and o.stream = ':second'",
            "(:first, 1, /body, description)", "value-cover"),
        new("an alias is linked to another party", "update S.custody_alias set party = sha256('x') where stream = ':first' and alias = 1", "custody_alias (:first, p1)", "alias-other"),
        new("an alias loses its link", "delete from S.custody_alias where stream = ':first' and alias = 1", "custody_alias (:first, p1)", "alias-missing"),
    ];

    public static TheoryData<string> Names => [.. Damages.Select(d => d.Name)];

    static string Bytes(string stream, int n, string to) =>
        $"update S.mt_events set bdata = convert_to((select {to} from (select convert_from(bdata, 'UTF8') as t) x), 'UTF8') where stream_id = '{stream}' and version = {n}";

    [Fact]
    public async Task A_sound_ledger_has_no_faults_and_everything_was_looked_at()
    {
        var report = await stage.AuditAfter("", states: true);
        Assert.Equal([], report.Findings.Kept);
        Assert.True(report is { Events: > 260, Photographs: 1, Values: > 260, Pending: 1, States: > 260, Checkpoints: > 3 }, report.ToString());
        Assert.Equal((report.Events - 1, report.Size), (report.Size, report.Newest!.Value.Size));
    }

    [Fact]
    public async Task The_row_that_a_cut_connection_leaves_among_the_streams_is_no_fault_and_one_with_an_event_is()
    {
        const string row = "insert into S.mt_streams (id, version) values ('mt_tombstone', 1);";
        Assert.Equal(0, (await stage.AuditAfter(row)).Findings.Faults);
        Assert.NotEqual(0, (await stage.AuditAfter($"{row} insert into S.mt_events (seq_id, id, stream_id, version, data, bdata, type) select 9999, gen_random_uuid(), 'mt_tombstone', 1, data, bdata, type from S.mt_events limit 1")).Findings.Faults);
    }

    [Theory]
    [MemberData(nameof(Names))]
    public async Task Every_damage_to_a_row_is_found_and_the_row_named(string name)
    {
        var damage = Damages.Single(d => d.Name == name);
        var report = await stage.AuditAfter(Filled(damage.Sql));
        Found(report, Filled(damage.Named), damage.Codes);
    }

    [Fact]
    public async Task A_leaf_that_would_be_deleted_with_everything_about_it_is_missed_by_the_checkpoints() =>
        // Events, leaves and rows of the whole tail are gone alike: only what stands outside the database still tells.
        Found(await stage.AuditAfter(
            """
            delete from S.mt_events e using S.custody_leaf l where l.seq_id = e.seq_id and l.index >= 50; delete from S.custody_leaf where index >= 50;
            delete from S.custody_checkpoint where size > 50; delete from S.custody_pending; delete from S.mt_events where seq_id > 51;
            delete from S.mt_streams s where not exists (select from S.mt_events e where e.stream_id = s.id); update S.mt_streams s set version = (select max(version) from S.mt_events e where e.stream_id = s.id);
            delete from S.custody_withheld w where not exists (select from S.mt_events e where e.stream_id = w.stream and e.version = w.n);
            delete from S.custody_alias a where not exists (select from S.mt_streams s where s.id = a.stream); delete from S.custody_answer
            """), "checkpoints", "checkpoint-beyond");

    [Fact]
    public async Task A_state_that_is_not_the_fold_is_found_when_asked_for()
    {
        Found(await stage.AuditAfter(Filled("update S.mt_doc_bat_state set data = jsonb_set(data, '{n}', '99') where id = ':first'"), states: true), $"mt_doc_bat_state id {stage.First}", "state-columns", "state-other");
        Found(await stage.AuditAfter(Filled("delete from S.mt_doc_bat_state where id = ':first'"), states: true), $"mt_doc_bat_state id {stage.First}", "state-missing");
        Found(await stage.AuditAfter("insert into S.mt_doc_party_state (id, data, mt_version) select 'party/0000000000000000000000000W', data, 1 from S.mt_doc_party_state limit 1", states: true),
            "mt_doc_party_state id party/0000000000000000000000000W", "state-columns", "state-unfounded");
    }

    [Theory]
    [InlineData("a photograph is missing", "photograph-missing")]
    [InlineData("a photograph is altered", "photograph-altered")]
    [InlineData("a document is altered", "document-altered")]
    [InlineData("a full tile is altered", "tile-other")]
    [InlineData("a full tile is missing", "tile-missing")]
    [InlineData("a full bundle is altered", "tile-other", "leaf-other")]
    [InlineData("the newest partial tile is missing", "tile-missing")]
    [InlineData("an old partial tile is altered", "tile-other")]
    [InlineData("a checkpoint's file is missing", "checkpoint-file-missing")]
    [InlineData("a checkpoint's file is another", "checkpoint-other")]
    [InlineData("a checkpoint's file is no note", "checkpoint-other")]
    [InlineData("the last checkpoint is an older one", "checkpoint-last")]
    [InlineData("a checkpoint is signed by a stranger", "checkpoint-signature", "checkpoint-other")]
    public async Task Every_damage_to_a_file_is_found(string name, params string[] codes) =>
        Found(await stage.AuditAfter("", folder => FileDamage.Do(name, folder, stage)), "", codes);

    [Fact]
    public async Task A_document_kept_elsewhere_is_a_remark_and_no_fault()
    {
        var report = await stage.AuditAfter("", folder => File.Delete(FileDamage.Paper(folder)));
        Assert.Equal((0L, 1L), (report.Findings.Faults, report.Findings.Remarks));
        Assert.Contains("paperHash", report.Findings.Kept[0].Where, StringComparison.Ordinal);
    }

    string Filled(string text) => text.Replace(":first", stage.First.ToString(), StringComparison.Ordinal).Replace(":second", stage.Second.ToString(), StringComparison.Ordinal);

    static void Found(AuditReport report, string named, params string[] codes)
    {
        var faults = report.Findings.Kept.Where(f => f.IsFault).ToList();
        var told = string.Join('\n', faults);
        Assert.True(codes.Order(StringComparer.Ordinal).SequenceEqual(faults.Select(f => f.Code).Distinct().Order(StringComparer.Ordinal)), told);
        Assert.True(faults.Exists(f => f.Where.Contains(named, StringComparison.Ordinal)), told);
    }
}
