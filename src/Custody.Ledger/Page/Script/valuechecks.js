// Checks 7, 8 and 12: what is shown of what was withheld, pictures and papers, labels.
import { photographPath, isDocumentOf } from "./dossier.js";
import { digestOf, parseDisclosure, readDisclosures } from "./disclosures.js";
import { openEntry, openValues } from "./entries.js";
import { isObject, isText } from "./json.js";
import { writeCrockford, readCrockford } from "./crockford.js";
import { Malformed } from "./malformed.js";
import { failed, notChecked, passed, PASSED } from "./outcomes.js";
import { fromBase64Url } from "./text.js";

// Check 7, and what it finds: {outcome, opened(line): the fact with what is shown of it, texts: the texts shown, count}.
export function disclosures(file, readings) {
  const found = { opened: new Map(), texts: new Set(), count: 0 };
  const outcome = checkDisclosures(file, readings, found);
  if (outcome.result !== PASSED) found.opened.clear();
  return { outcome, opened: (line) => found.opened.get(line) ?? line.fact, texts: found.texts, count: found.count };
}

function checkDisclosures(file, readings, found) {
  if (file === null) return notChecked("disclosures.json is missing.");
  try {
    return fitting(readDisclosures(file), readings, found);
  } catch (fault) {
    if (!(fault instanceof Malformed)) throw fault;
    return failed(fault.message);
  }
}

function fitting(shown, readings, found) {
  const lines = readings.flatMap((r) => r.lines).filter((l) => l.form !== null);
  const name = (stream, n) => `${n} ${stream}`;
  const byName = grouped(lines, (l) => name(l.form.stream, l.form.n));
  // A digest may stand once in the whole dossier: twice, and one disclosure would say two things.
  const places = new Map();
  for (const { digest } of lines.flatMap((l) => digestsIn(l.form.body, "/body"))) places.set(digest, (places.get(digest) ?? 0) + 1);
  if (new Set(shown.map((s) => s.text)).size < shown.length) return failed("A disclosure is given twice.");
  for (const [key, items] of grouped(shown, (s) => name(s.stream, s.n))) {
    const here = byName.get(key) ?? [];
    if (here.length !== 1) return failed(`A disclosure is for entry ${items[0].n} of ${items[0].stream}, which is not here once.`);
    for (const item of items) {
      const misfit = misfitOf(item, here[0].form.body, places, found.texts);
      if (misfit !== null) return failed(`Entry ${item.n}: ${misfit}`);
    }
    if (here[0].fact !== null) found.opened.set(here[0], openEntry(here[0].form, items.map((s) => s.text)));
  }
  found.count = shown.length;
  return passed(shown.length === 0 ? "Nothing that was withheld is shown." : `${shown.length} withheld values are shown; each fits its digest.`);
}

function grouped(items, keyOf) {
  const groups = new Map();
  for (const item of items) groups.set(keyOf(item), [...groups.get(keyOf(item)) ?? [], item]);
  return groups;
}

function misfitOf(item, body, places, texts) {
  const digest = digestOf(item.text);
  const { name, value } = parseDisclosure(item.text);
  if (places.get(digest) !== 1) return "a disclosure fits no digest, or more than one, of this dossier.";
  if (!digestsIn(body, "/body").some((d) => d.digest === digest && d.pointer === item.pointer)) return `a disclosure does not fit the object ${item.pointer}.`;
  const object = item.pointer.split("/").slice(2).reduce((obj, part) => obj.get(part), body);
  if (object.has(name)) return `a disclosure names "${name}", which is open.`;
  if (isText(value)) texts.add(value);
  return null;
}

function digestsIn(obj, pointer) {
  return [...obj].flatMap(([name, value]) => (name === "_sd" ? value.map((digest) => ({ digest, pointer }))
    : isObject(value) ? digestsIn(value, `${pointer}/${name}`) : []));
}

// Check 8: photographs are those the entries name, documents those whose hash is shown.
export function files(content, readings, shown) {
  const named = new Set(readings.flatMap((r) => r.lines).filter((l) => l.fact !== null).flatMap((l) => openValues(l.fact, "photograph")));
  for (const file of content.photographs) {
    if (photographPath(file.hash) !== file.path) return failed(`${file.path} is not the picture its name says.`);
    if (!named.has(file.name)) return failed(`${file.path} is named by no entry.`);
    if (!file.isJpeg) return failed(`${file.path} is not a JPEG picture.`);
  }
  for (const file of content.documents) {
    if (!isDocumentOf(file.path, file.hash)) return failed(`${file.path} is not the document its name says.`);
    if (shown.texts.has(file.name)) continue;
    return shown.outcome.result !== PASSED
      ? notChecked("Without disclosures that fit no document can be told from another; see check 7.")
      : failed(`${file.path} fits no hash that this dossier shows.`);
  }
  const [pictures, documents] = [content.photographs.length, content.documents.length];
  const here = `Photographs here: ${pictures}, documents: ${documents}; each is the one the entries speak of.`;
  return pictures < named.size
    ? notChecked(`${here} Photographs named but not here: ${named.size - pictures} of ${named.size}. Ask the holder for them.`)
    : passed(here);
}

// Check 12: which labels this history issued, and whether a label in hand is one of them.
// sound: whether every entry is known here, or gone, and checks 2, 3 and 4 hold; label: as typed or scanned, null when none is compared.
export function labels(reading, sound, label) {
  if (!sound) return notChecked("Not every entry could be read in its place, so what became of a label is not known here; see checks 2, 3 and 4.");
  const codes = new Set();
  for (const line of reading.lines) {
    const code = codeOf(line.hash);
    if (codes.has(code)) return failed(`Two entries begin with the same 128 bits, so the label ${code} names both.`);
    codes.add(code);
  }
  const { issued, good } = labelsOf(reading.history.lines.filter((l) => l.gone === null));
  // What is gone may have been a label, or the end of one.
  const gone = reading.history.lines.filter((l) => l.gone !== null).map((l) => codeOf(l.hash));
  const standing = (reason) => (gone.length === 0 ? passed(reason) : notChecked(`${reason} But entries are gone, and one of them may have ended it: ask online.`));
  if (label === null) {
    return issued.length === 0 ? notChecked("No label was issued in this history.")
      : standing(`${issued.length} issued here, in force: ${good.length === 0 ? "none" : good.join(", ")}. Compare with the label on the bat (--label).`);
  }
  const bits = readCrockford(label);
  if (bits === null) return failed("What was given is not what stands on a label: 26 letters and digits.");
  const written = writeCrockford(bits);
  if (gone.includes(written)) return notChecked(`The label ${written} bears the beginning of an entry that is gone: ask online.`);
  if (!issued.includes(written)) return failed(`The label ${written} was not issued in this history.`);
  return good.includes(written)
    ? standing(`The label ${written} was issued here and is in force. A label can be moved or copied: compare the bat itself.`)
    : failed(`The label ${written} was issued here and is void.`);
}

// The first 128 bits of the entry hash, as they stand on the label.
const codeOf = (hash) => writeCrockford(fromBase64Url(hash).subarray(0, 16));

// A label is in force while it was issued, and neither voided nor replaced by an entry that stands itself.
function labelsOf(lines) {
  const voided = voidedEntries(lines.map((l) => l.fact));
  const ended = new Map();
  const issued = lines.filter((l) => l.form.type === "LabelIssued");
  for (const line of lines)
    if (line.form.type === "LabelVoided" || line.form.type === "LabelReplaced") ended.set(line.fact.values.get("label"), line.n);
  const isGood = (n) => !voided.has(n) && !(ended.has(n) && !voided.has(ended.get(n)));
  return { issued: issued.map((l) => codeOf(l.hash)), good: issued.filter((l) => isGood(l.n)).map((l) => codeOf(l.hash)) };
}

// Numbers of the entries that did not happen here, as later entries say.
export function voidedEntries(facts) {
  const corrections = facts.filter((f) => f?.shape.name === "EntryCorrected" && f.values.get("kind") !== "clerical");
  return new Set(corrections.map((f) => f.values.get("of").get("n")));
}
