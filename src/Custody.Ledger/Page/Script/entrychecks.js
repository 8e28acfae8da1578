// Checks 2, 3, 4 and 13: the entries themselves, their chain, their places in the log.
import { openValues } from "./entries.js";
import { isUnknownType } from "./histories.js";
import { isObject } from "./json.js";
import { failed, hasFailed, NOT_CHECKED, notChecked, passed } from "./outcomes.js";
import { sentence } from "./text.js";
import { isReference } from "./values.js";

// Check 2: every line is canonical and well formed, the context in the order of the log and with nothing that is not cited.
export function wellFormed(reading) {
  for (const [file, name] of [[reading.history, "history.jsonl"], [reading.context, "context.jsonl"]]) {
    const bad = file.lines.find((l) => l.fault !== null);
    if (bad !== undefined) return failed(`Line ${bad.number} of ${name} is not a well-formed entry: ${bad.fault.message}`);
    if (file.fault !== null) return failed(`${name}: ${file.fault}`);
  }
  if (reading.history.lines.length === 0) return failed("history.jsonl holds no entry.");
  const gone = reading.context.lines.find((l) => l.gone !== null);
  if (gone !== undefined) return failed(`Line ${gone.number} of context.jsonl stands for an entry that is gone; only a history may have such lines.`);
  if (reading.places !== null && !reading.places.contextInOrder) return failed("The lines of context.jsonl do not stand in the order of the log.");
  const uncited = uncitedIn(reading);
  if (uncited !== undefined) return failed(`Line ${uncited.number} of context.jsonl is cited by nothing in this history.`);
  const unknown = reading.lines.find(isUnknownType);
  if (unknown !== undefined)
    return notChecked(`An entry is of the type ${unknown.form.type}, which this checker does not know; all else is well formed. Ask a newer checker.`);
  return passed(`${reading.lines.filter((l) => l.form !== null).length} entries are written in the one way the format allows.`);
}

const OF_ALL = ["LedgerOpened", "KeyRotated", "KeyCompromised", "RulesAdopted", "LedgerRestored"];

// What belongs in the context of a history: the ledger's own beginning, keys and rules, and what is cited.
function uncitedIn(reading) {
  const name = (stream, n, hash) => `${stream} ${n} ${hash}`;
  const cited = new Set(reading.lines.flatMap(referencesIn).map((r) => name(r.get("stream"), r.get("n"), r.get("hash"))));
  return reading.context.lines.find((l) => l.form !== null && !(l.fact !== null && OF_ALL.includes(l.form.type))
    && !cited.has(name(l.form.stream, l.form.n, l.form.hash)));
}

// An event type not known here may cite too: whatever looks like a reference counts as one, so that nothing is called uncited wrongly.
function referencesIn(line) {
  if (line.gone !== null) return [line.gone.why];
  if (line.fact !== null) return openValues(line.fact, "reference");
  return line.form === null ? [] : looksLikeReference(line.form.body);
}

function looksLikeReference(json) {
  if (Array.isArray(json)) return json.flatMap(looksLikeReference);
  if (!isObject(json)) return [];
  return [...[...json.values()].flatMap(looksLikeReference), ...(isReference(json) ? [json] : [])];
}

// Check 3: one ledger, one stream, numbers without gaps, each entry holding the hash of the one before, rules never falling.
export function chain(reading) {
  let before = null, rules = 0, recorded = "";
  for (const line of reading.history.lines) {
    if (line.hash === null) return notChecked(`Line ${line.number} of history.jsonl cannot be read; see check 2.`);
    if (line.n !== line.number) return failed(`Line ${line.number} holds entry ${line.n}.`);
    const at = line.form;
    if (at !== null) {
      if (at.ledger !== reading.first.ledger || at.stream !== reading.first.stream) return failed(`Entry ${at.n} belongs to another ledger or stream.`);
      if (at.prev !== before) return failed(`Entry ${at.n} does not follow the entry before it: the hash it holds is another.`);
      if (at.rules < rules) return failed(`Entry ${at.n} was decided under older rules than an entry before it.`);
      if (at.recorded < recorded) return failed(`Entry ${at.n} was recorded earlier than an entry before it.`);
      [rules, recorded] = [at.rules, at.recorded];
    }
    before = line.hash;
  }
  const count = reading.history.lines.length;
  const gone = reading.history.lines.filter((l) => l.gone !== null).length;
  return count === 0 ? notChecked("There is no entry.")
    : passed(`${count} entries, each holding the hash of the one before.${gone === 0 ? "" : ` ${gone} of them are gone; their hashes and the reasons stand in their places.`}`);
}

// Check 3 for an earlier history: its own chain, and that the later one really goes on from it.
export function chainOfEarlier(main, earlier) {
  const own = chain(earlier);
  if (hasFailed(own) || own.result === NOT_CHECKED) return own;
  const links = main.history.lines.filter((l) => l.fact !== null && l.form.type === "ContinuedFrom").map((l) => l.fact.values.get("earlier"))
    .filter((r) => r.get("ledger") === earlier.origin);
  if (links.length === 0) return failed("Nothing in the bat's history says that it goes on from this one.");
  return links.every((link) => link.get("stream") === earlier.first?.stream
    && earlier.history.lines.some((l) => l.n === link.get("n") && l.hash === link.get("hash")))
    ? own
    : failed("The bat's history goes on from an entry that is not in this one.");
}

// Check 4: every entry is in the log under the checkpoint.
export function included(reading) {
  if (reading.places === null) return notChecked(`The checkpoint cannot be read: ${reading.checkpoint.fault}`);
  const other = reading.lines.find((l) => l.form !== null && l.form.ledger !== reading.origin);
  if (other !== undefined) return failed(`An entry names the ledger ${other.form.ledger}, the checkpoint ${reading.origin}.`);
  if (reading.places.faults.length > 0) return failed(sentence(reading.places.faults));
  return reading.lines.some((l) => l.hash === null)
    ? notChecked("A line cannot be read; see check 2. Every other entry is in the log.")
    : passed(`All ${reading.lines.length} are in the log of ${reading.origin} at size ${reading.checkpoint.value.size}.`);
}

// Check 13 as far as a dossier can tell: no place of a stream is taken twice in it.
export function secondEntries(readings) {
  const taken = new Map();
  for (const { form } of readings.flatMap((r) => r.lines)) {
    if (form === null) continue;
    const place = `${form.ledger} ${form.stream} ${form.n}`;
    if ((taken.get(place) ?? form.hash) !== form.hash)
      return failed(`Two different entries ${form.n} of ${form.stream} are in this dossier: ${form.ledger} told two histories. Keep it.`);
    taken.set(place, form.hash);
  }
  return notChecked("Needs the public tiles of the log: ask online. Within the dossier no place is taken twice.");
}
