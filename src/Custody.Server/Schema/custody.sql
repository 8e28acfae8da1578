-- What the ledger keeps beside Marten's own tables. Idempotent: run at every start, after Marten's migration.
-- {schema} is replaced by the configured schema.

create table if not exists {schema}.custody_pending (
    seq_id bigint primary key
);

-- One leaf for each entry, in the order of the log. A stream's n, and a slot tag, stand here once. Sequence number, stream and n are null for a record
-- that came back from the tiles after a restore and belongs to no stream known.
create table if not exists {schema}.custody_leaf (
    index  bigint primary key,
    seq_id bigint unique,
    stream text,
    n      bigint,
    hash   bytea  not null check (length(hash) = 32),
    tag    bytea  not null unique check (length(tag) = 32),
    unique (stream, n)
);

alter table {schema}.custody_leaf alter seq_id drop not null, alter stream drop not null, alter n drop not null;

create table if not exists {schema}.custody_checkpoint (
    size   bigint primary key,
    root   bytea  not null,
    note   text   not null,
    signed timestamptz not null
);

-- First answers, by idempotency key.
create table if not exists {schema}.custody_answer (
    key     text  primary key,
    request bytea not null,
    answer  jsonb not null,
    given   timestamptz not null
);

-- Withheld values: the disclosure, encrypted under a key that stands outside the database.
create table if not exists {schema}.custody_withheld (
    stream  text   not null,
    n       bigint not null,
    pointer text   not null,
    name    text   not null,
    key_id  text   not null,
    nonce   bytea  not null,
    cipher  bytea  not null,
    primary key (stream, n, pointer, name)
);

-- Who an alias is: the party's tag under its own key, so that destroying the key also ends this link.
create table if not exists {schema}.custody_alias (
    stream text    not null,
    alias  integer not null,
    party  bytea   not null,
    primary key (stream, alias),
    unique (stream, party)
);
create index if not exists custody_alias_party on {schema}.custody_alias (party);

-- Search: words of open fields as they are, words of withheld values as keyed tokens, by the key they stand under. A by-product of the log.
create table if not exists {schema}.custody_search (
    stream text     not null,
    n      bigint   not null,
    key_id text     not null,
    words  tsvector not null,
    primary key (stream, n, key_id)
);
create index if not exists custody_search_words on {schema}.custody_search using gin (words);
create table if not exists {schema}.custody_search_progress (
    one  boolean primary key check (one),
    size bigint  not null
);

-- The words of an earlier form are made again from the entries: 27995161429501555 is the lock of whoever is indexing.
do $form$
begin
    if coalesce(obj_description('{schema}.custody_search_progress'::regclass), '') <> 'form 2' then
        perform pg_advisory_xact_lock(27995161429501555);
        delete from {schema}.custody_search;
        delete from {schema}.custody_search_progress;
        comment on table {schema}.custody_search_progress is 'form 2';
    end if;
end $form$;

-- What this server cosigned last of each other ledger, with its own line under it.
create table if not exists {schema}.custody_cosigned (
    origin   text        primary key,
    size     bigint      not null,
    note     text        not null,
    cosigned timestamptz not null
);

-- Every checkpoint ever cosigned: a ledger convicts itself by a second tree of any of these sizes.
create table if not exists {schema}.custody_cosigned_before (
    origin   text        not null,
    size     bigint      not null,
    note     text        not null,
    cosigned timestamptz not null,
    primary key (origin, size)
);
insert into {schema}.custody_cosigned_before select origin, size, note, cosigned from {schema}.custody_cosigned on conflict do nothing;

-- Requests of ledgers whose tree is not the one cosigned before: evidence, kept beside the checkpoint that was cosigned.
create table if not exists {schema}.custody_fork (
    origin   text        not null,
    seen     timestamptz not null,
    cosigned text        not null,
    request  bytea       not null,
    digest   bytea       generated always as (sha256(request)) stored,
    primary key (origin, digest)
);

-- A label's address is the first 128 bits of an entry's hash.
create index if not exists custody_leaf_label on {schema}.custody_leaf (substring(hash from 1 for 16));

-- Challenges of buyers to holders: digests and times, nothing that anybody typed.
create table if not exists {schema}.custody_challenge (
    code     bytea primary key check (length(code) = 32),
    stream   text  not null,
    words    bytea not null check (length(words) = 32),
    asked    timestamptz not null,
    answered timestamptz
);
create index if not exists custody_challenge_asked on {schema}.custody_challenge (stream, asked);

-- By what a holder of title answers until there are accounts: the digest of a secret, by the party's tag, so that it dies with the party's key.
create table if not exists {schema}.custody_holder_secret (
    party  bytea primary key,
    secret bytea not null check (length(secret) = 32),
    issued timestamptz not null
);

-- Links to dossiers that an owner shares: the digest of the address, by the owner's tag, so that they are nobody's once the owner is erased; under which
-- keys the file outside the database stands. Opens are counted by date, and nothing else is known of them.
create table if not exists {schema}.custody_shared (
    token     bytea   primary key check (length(token) = 32),
    stream    text    not null,
    party     bytea   not null,
    n         bigint  not null,
    shown     bigint  not null,
    key_ids   text[]  not null,
    file_name text    not null,
    made      timestamptz not null,
    expires   timestamptz not null,
    ended     timestamptz
);
create index if not exists custody_shared_party on {schema}.custody_shared (party);
create table if not exists {schema}.custody_shared_open (
    token  bytea  not null references {schema}.custody_shared on delete cascade,
    day    date   not null,
    opened bigint not null,
    primary key (token, day)
);

-- Transfers that an owner offered and the other side has not confirmed: the digest of the link, and what was offered, encrypted under the owner's key.
-- Nothing of it is in the ledger until both have given their word.
create table if not exists {schema}.custody_transfer (
    token   bytea primary key check (length(token) = 32),
    stream  text  not null,
    party   bytea not null,
    key_id  text  not null,
    nonce   bytea not null,
    cipher  bytea not null,
    expires timestamptz not null
);
create index if not exists custody_transfer_party on {schema}.custody_transfer (party, stream);

-- Who bids under which paddle of a sale: the bidder encrypted under their own key. What a paddle bought stands in the ledger.
create table if not exists {schema}.custody_paddle (
    sale   text  not null,
    paddle text  not null,
    key_id text  not null,
    nonce  bytea not null,
    cipher bytea not null,
    primary key (sale, paddle)
);

create or replace function {schema}.custody_mark_pending() returns trigger language plpgsql as $$
begin
    if exists (select 1 from inserted where bdata is null) then
        raise exception 'custody: an event without entry bytes is refused';
    end if;
    insert into {schema}.custody_pending (seq_id) select seq_id from inserted;
    return null;
end $$;

create or replace function {schema}.custody_refuse_change() returns trigger language plpgsql as $$
begin
    raise exception 'custody: % on % is refused: an entry is never changed or removed', tg_op, tg_table_name;
end $$;

-- Two changes are no change of what was recorded: an entry that is gone comes back as the very bytes whose hash stands in the log, and a record that came
-- back without its stream is given its name.
create or replace function {schema}.custody_put_back_only() returns trigger language plpgsql as $$
begin
    if (to_jsonb(new) - 'bdata') = (to_jsonb(old) - 'bdata') and substring(old.bdata for 8) = '{"gone":'::bytea
        and exists (select from {schema}.custody_leaf l where l.seq_id = old.seq_id and l.hash = sha256(new.bdata)) then return new;
    end if;
    raise exception 'custody: % on % is refused: an entry is never changed or removed', tg_op, tg_table_name;
end $$;

create or replace function {schema}.custody_name_only() returns trigger language plpgsql as $$
begin
    if old.stream is null and old.seq_id is null and new.index = old.index and new.hash = old.hash and new.tag = old.tag
        and new.stream is not null and new.n is not null and new.seq_id is not null then return new;
    end if;
    raise exception 'custody: % on % is refused: an entry is never changed or removed', tg_op, tg_table_name;
end $$;

create or replace trigger custody_events_put_back before update on {schema}.mt_events
    for each row execute function {schema}.custody_put_back_only();
create or replace trigger custody_leaves_named before update on {schema}.custody_leaf
    for each row execute function {schema}.custody_name_only();
create or replace trigger custody_pending_after_insert after insert on {schema}.mt_events
    referencing new table as inserted for each statement execute function {schema}.custody_mark_pending();
create or replace trigger custody_events_stay before delete or truncate on {schema}.mt_events
    for each statement execute function {schema}.custody_refuse_change();
create or replace trigger custody_streams_stay before delete or truncate on {schema}.mt_streams
    for each statement execute function {schema}.custody_refuse_change();
create or replace trigger custody_leaves_stay before delete or truncate on {schema}.custody_leaf
    for each statement execute function {schema}.custody_refuse_change();
create or replace trigger custody_forks_stay before update or delete or truncate on {schema}.custody_fork
    for each statement execute function {schema}.custody_refuse_change();
create or replace trigger custody_cosigned_stay before update or delete or truncate on {schema}.custody_cosigned_before
    for each statement execute function {schema}.custody_refuse_change();
create or replace trigger custody_checkpoints_stay before update or delete or truncate on {schema}.custody_checkpoint
    for each statement execute function {schema}.custody_refuse_change();

-- Findings that an examiner has written down and not locked yet, encrypted under the bat's key. No part of the ledger; gone once they are locked.
create table if not exists {schema}.custody_draft (
    stream      text   not null,
    examination bigint not null,
    nonce       bytea  not null,
    cipher      bytea  not null,
    primary key (stream, examination)
);
