// Entries: read as far as every entry is alike, then by the shape of its event type, as the published table of shapes has it.
import { readEdtf } from "./days.js";
import { parseDisclosure, digestOf } from "./disclosures.js";
import { ENTRY_LIMITS, isCount, isObject, isText, Num, parseCanonical } from "./json.js";
import { Malformed } from "./malformed.js";
import { isOrigin, isSecond } from "./notes.js";
import { published } from "./published.js";
import { sha256 } from "./sha256.js";
import { fromBase64Url, isHash, toBase64Url } from "./text.js";
import { expected, isAlias, isName, isStreamName, readValue } from "./values.js";

const VERSION = "custody-entry/1";
const REQUIRED = ["body", "by", "ledger", "n", "recorded", "rules", "salt", "stream", "type", "v"];
const OPTIONAL = ["occurred", "prev"];
const MAX_INT = 2 ** 31 - 1;
export const UNKNOWN_TYPE = "entry.unknown-type";

const fail = (code, sentence) => {
  throw new Malformed("entry." + code, sentence);
};
const must = (name, what) => fail(name, `The member "${name}" must be ${what}.`);

// The envelope, type, salt, body and hash of canonical bytes, with every rule checked that does not depend on the event type.
export function readForm(bytes) {
  const entry = parseCanonical(bytes, ENTRY_LIMITS);
  if (!isObject(entry)) fail("members", "An entry is a JSON object.");
  for (const name of entry.keys())
    if (!REQUIRED.includes(name) && !OPTIONAL.includes(name)) fail("members", `The member "${name}" does not belong in an entry.`);
  const missing = REQUIRED.find((name) => !entry.has(name));
  if (missing !== undefined) fail("members", `The member "${missing}" is missing.`);
  const text = (name) => (isText(entry.get(name)) ? entry.get(name) : must(name, "a text"));
  const count = (name) => (isCount(entry.get(name)) ? entry.get(name) : must(name, "a whole number from 1"));
  if (text("v") !== VERSION) fail("version", `Only ${VERSION} is known here.`);
  const form = readEnvelope(entry, text, count);
  form.body = isObject(entry.get("body")) ? entry.get("body") : must("body", "an object");
  const salt = text("salt");
  if (salt.length !== 22 || fromBase64Url(salt) === null) must("salt", "128 bits in 22 characters base64url");
  walk(form.body, "/body", false);
  form.type = typeName(text("type"));
  form.hash = toBase64Url(sha256(bytes));
  return form;
}

function readEnvelope(entry, text, count) {
  const form = { ledger: text("ledger"), stream: text("stream") };
  if (!isOrigin(form.ledger)) must("ledger", "the name of a ledger");
  if (!isStreamName(form.stream)) must("stream", "the name of a stream");
  form.n = count("n");
  form.rules = count("rules");
  if (form.rules > MAX_INT) must("rules", "a smaller number");
  form.prev = entry.has("prev") ? text("prev") : null;
  if ((form.prev === null) !== (form.n === 1)) fail("prev", "The hash of the entry before is absent exactly from entry 1.");
  if (form.prev !== null && !isHash(form.prev)) must("prev", "an entry hash");
  form.recorded = text("recorded");
  if (!isSecond(form.recorded)) fail("recorded", "The time of recording is not UTC to the second.");
  form.occurred = entry.has("occurred") ? text("occurred") : null;
  if (form.occurred !== null && readEdtf(form.occurred) === null) fail("occurred", `"${form.occurred}" is not a date in EDTF.`);
  const by = text("by");
  form.by = by === "ledger" ? null : isAlias(by) ? by : must("by", "an alias or the word ledger");
  return form;
}

const typeName = (type) => (/^[A-Z][A-Za-z0-9.]{0,63}$/.test(type) ? type : must("type", "the name of an event type"));

// No null, no fractions, member names and digests in their form, digests never inside a list.
function walk(value, pointer, inArray) {
  if (value === null) fail("null", `${pointer}: an entry says nothing by leaving out, never by null.`);
  if (value instanceof Num) fail("number", `${pointer}: a number that is not a whole one is written as text.`);
  if (Array.isArray(value)) for (const item of value) walk(item, pointer, true);
  if (isObject(value)) for (const [name, member] of value) walkMember(name, member, pointer, inArray);
}

function walkMember(name, member, pointer, inArray) {
  if (name !== "_sd") {
    if (!isName(name)) fail("name", `${pointer}: "${name}" is not a member name.`);
    walk(member, pointer + "/" + name, inArray);
    return;
  }
  if (inArray) fail("digests", `${pointer}: nothing is withheld inside a list.`);
  if (!Array.isArray(member) || member.length === 0) fail("digests", `${pointer}: digests are a list that is not empty.`);
  let before = "";
  for (const digest of member) {
    if (!isText(digest) || !isHash(digest)) fail("digests", `${pointer}: a digest is a SHA-256 value in 43 characters base64url.`);
    if (before >= digest) fail("digests", `${pointer}: digests stand once each, in ascending order.`);
    before = digest;
  }
}

// What the entry says, by the shape of its type: {shape, values}, with the values filled in that the disclosures show.
// Throws UNKNOWN_TYPE for a type not in the table, any other code for a broken entry.
export function openEntry(form, disclosures = []) {
  if (!Object.hasOwn(published.types, form.type)) throw new Malformed(UNKNOWN_TYPE, `The event type ${form.type} is not known here.`);
  const shape = published.shapes[published.types[form.type].shape];
  const opening = { shown: new Map(), met: new Set() };
  for (const text of disclosures) {
    const digest = digestOf(text);
    if (opening.shown.has(digest)) fail("disclosure-twice", "One disclosure is given twice.");
    opening.shown.set(digest, parseDisclosure(text));
  }
  const fact = readPart(shape, form.body, opening, "/body");
  const wrong = [...fact.values.get("parties")?.keys() ?? []].find((key) => !isAlias(key));
  if (wrong !== undefined) fail("alias", `/body/parties: "${wrong}" is not an alias.`);
  if (opening.shown.size > 0) fail("disclosure-unmatched", "A disclosure fits no digest of the entry.");
  return fact;
}

// A part is {shape, values}: values by member name, absent where nothing is said or shown.
function readPart(shape, obj, opening, pointer) {
  const values = new Map();
  let seen = readDigests(shape, obj, opening, pointer, values) ? 1 : 0;
  for (const field of shape.open) {
    if (obj.has(field.name)) {
      values.set(field.name, readField(field.kind, obj.get(field.name), opening, `${pointer}/${field.name}`));
      seen++;
    } else if (field.required) {
      fail("member-missing", `${pointer}: the member "${field.name}" is missing.`);
    }
  }
  if (seen !== obj.size) {
    const unknown = [...obj.keys()].find((name) => name !== "_sd" && !shape.open.some((f) => f.name === name));
    fail("member-unknown", `${pointer}: "${unknown}" does not belong here.`);
  }
  return { shape, values };
}

function readDigests(shape, obj, opening, pointer, values) {
  const digests = obj.get("_sd");
  const count = shape.withheld.length;
  if (digests === undefined && count === 0) return false;
  if (digests?.length !== count)
    fail("digests", `${pointer}: ${count} digests are expected here, ${digests === undefined ? "none" : digests.length} are there.`);
  for (const digest of digests) {
    if (opening.met.has(digest)) fail("digest-twice", `${pointer}: a digest stands twice in the entry.`);
    opening.met.add(digest);
    const shown = opening.shown.get(digest);
    if (shown === undefined) continue;
    opening.shown.delete(digest);
    show(shape, shown, opening, pointer, values);
  }
  return true;
}

function show(shape, shown, opening, pointer, values) {
  const field = shape.withheld.find((f) => f.name === shown.name);
  if (field === undefined) fail("disclosure-name", `${pointer}: a disclosure names "${shown.name}", which is not a withheld field here.`);
  if (values.has(field.name)) fail("disclosure-name", `${pointer}: "${shown.name}" is shown twice.`);
  values.set(field.name, readField(field.kind, shown.value, opening, `${pointer}/${shown.name}`));
}

// Parts under keys become a Map, lists arrays, parts {shape, values}; anything else stays as it is written.
function readField(kind, json, opening, pointer) {
  const part = (value, at) => (isObject(value) ? readPart(published.shapes[kind.shape], value, opening, at) : expected(at, "an object"));
  switch (kind.is) {
    case "part": return part(json, pointer);
    case "list":
      if (!Array.isArray(json)) expected(pointer, "a list");
      if (json.length === 0) expected(pointer, "a list that is not empty");
      return json.map((item) => readField(kind.of, item, opening, pointer));
    case "keyed":
      if (!isObject(json)) expected(pointer, "an object");
      if (json.size === 0) expected(pointer, "an object that is not empty");
      return new Map([...json].map(([key, value]) => [key, isObject(value) ? part(value, `${pointer}/${key}`) : expected(pointer, "an object")]));
    default: return readValue(kind, json, pointer);
  }
}

// Every value of one kind that stands in an open field of a part, its parts and lists.
export function openValues(part, kind) {
  return part.shape.open.flatMap((field) => (part.values.has(field.name) ? within(field.kind, part.values.get(field.name), kind) : []));
}

function within(kind, value, sought) {
  if (kind.is === sought) return [value];
  if (kind.is === "part") return openValues(value, sought);
  if (kind.is === "keyed") return [...value.values()].flatMap((part) => openValues(part, sought));
  return kind.is === "list" ? value.flatMap((item) => within(kind.of, item, sought)) : [];
}
