// The history in words, told from the entries and what is shown of them: the same words as the dossier's own page to read and the command.
import { dayOfSecond, firstDay } from "./days.js";
import { isText } from "./json.js";
import { published } from "./published.js";
import { fromBase64Url, toHex } from "./text.js";
import { voidedEntries } from "./valuechecks.js";

// BatReleased, custodyBasis: "Bat released", "custody basis". A trailing version number of a changed shape is left off.
const split = (name) => name.split(".")[0].replace(/[A-Z]/g, (c, at) => (at === 0 ? c : " " + c.toLowerCase()));

// One ledger's history: {origin, stream, head, entries, unshown}, entries in the order in which things are said to have happened.
// corrected: whether to tell it as later entries correct it; only where all of it holds.
export function tell(reading, opened, corrected) {
  const lines = reading.history.lines;
  const facts = lines.map(opened);
  const person = peopleIn(facts);
  const noted = corrected ? correctedFacts(lines, facts) : lines.map((l, i) => ({ fact: facts[i], occurred: l.form?.occurred ?? null, by: [], isVoid: false }));
  const entries = inOrder(lines.map((line, i) => tellLine(line, noted[i], person)));
  const head = reading.head.value;
  return {
    origin: reading.origin, stream: reading.first?.stream ?? "", head: head === null ? "unknown" : `entry ${head.n} as of ${head.time}`,
    entries, unshown: counted(entries.flatMap((e) => e.unshown)),
  };
}

// How many fields are kept back or were never said, by name, most first. The two look alike on purpose, so they are counted together.
function counted(names) {
  const counts = new Map();
  for (const name of names) counts.set(name, (counts.get(name) ?? 0) + 1);
  return [...counts].sort(([a, x], [b, y]) => y - x || (a < b ? -1 : 1));
}

// The people of one stream, by name where it is shown, otherwise by what they are to the bat.
function peopleIn(facts) {
  const names = new Map();
  for (const fact of facts) {
    for (const [key, party] of fact?.values.get("parties") ?? []) {
      const [name, role] = [party.values.get("name"), split(party.values.get("role"))];
      names.set(key, name === undefined ? `${role} ${key}` : `${name} (${key}, ${role})`);
    }
  }
  return (alias) => (alias === null ? "the ledger itself" : names.get(alias) ?? alias);
}

function tellLine(line, { fact, occurred, by, isVoid }, person) {
  const told = {
    line: line.number, isReport: false, recorded: line.form?.recorded ?? null, occurred, by: person(line.form?.by ?? null),
    said: [], unshown: [], isVoid, correctedBy: by,
  };
  if (fact === null) {
    told.title = line.gone !== null ? "An entry that is gone"
      : line.form !== null ? `An entry of a type not known here (${split(line.form.type)})` : "A line that cannot be read";
    return told;
  }
  told.title = split(line.form.type);
  told.isReport = published.types[line.form.type].isReport;
  told.said = said(fact, person).filter((s) => s.name !== "parties");
  told.unshown = unshownIn(fact);
  const parties = fact.values.get("parties");
  if (parties !== undefined)
    told.said.push({ name: "named here for the first time", value: [...parties.keys()].map(person).join("; "), shown: false });
  return told;
}

// What is said in a part: open members and those withheld ones that are shown, in the order in which the shape declares them.
function said(part, person) {
  return [...part.shape.open.map((f) => [f, false]), ...part.shape.withheld.map((f) => [f, true])]
    .filter(([f]) => part.values.has(f.name)).sort(([a], [b]) => a.place - b.place)
    .map(([f, shown]) => ({ name: split(f.name), value: words(f.kind, part.values.get(f.name), person), shown }));
}

function words(kind, value, person) {
  switch (kind.is) {
    case "alias": return person(value);
    case "word": return split(value);
    case "truth": return value ? "yes" : "no";
    case "int":
    case "long": return String(value);
    case "reference": return `entry ${value.get("n")} of ${value.get("stream")}${value.has("ledger") ? ` in ${value.get("ledger")}` : ""} (${value.get("hash")})`;
    case "photograph": return `photographs/${toHex(fromBase64Url(value))}.jpg`;
    case "quantity": return `${value.get("value")} ${value.get("unit")}`;
    case "money": return `${value.get("amount")} ${value.get("currency")}`;
    case "keyed": return [...value].map(([key, part]) => `${key}: ${partWords(part, person)}`).join("; ");
    case "part": return partWords(value, person);
    case "list": return value.map((item) => words(kind.of, item, person)).join("; ");
    default: return value;
  }
}

function partWords(part, person) {
  if (part.shape.name === "Fraction") return `${part.values.get("parts")}/${part.values.get("of")}`;
  return said(part, person).map((s) => `${s.name} ${s.value}`).join(", ");
}

// Names of the fields of a part, and of the parts in it, that are kept back or were never said.
function unshownIn(part) {
  const own = part.shape.withheld.filter((f) => !part.values.has(f.name)).map((f) => split(f.name));
  const inner = part.shape.open.flatMap((f) => {
    const value = part.values.get(f.name);
    if (value === undefined) return [];
    return f.kind.is === "part" ? [value] : f.kind.is === "keyed" ? [...value.values()] : [];
  });
  return [...own, ...inner.flatMap(unshownIn)];
}

// Order of occurrence by the earliest day it can have begun; where none is known, by the latest; where nothing is, by the recording.
function inOrder(told) {
  let day = 0;
  const dated = told.map((entry) => {
    if (entry.recorded !== null) day = dayOfSecond(entry.recorded);
    return { day: (entry.occurred === null ? null : firstDay(entry.occurred)) ?? day, entry };
  });
  return dated.sort((a, b) => a.day - b.day || a.entry.line - b.entry.line).map((d) => d.entry);
}

// ---- corrections, in the order of recording: the later one of a member wins. The old value stays in its own entry's line of the dossier.

function correctedFacts(lines, facts) {
  const voided = voidedEntries(facts);
  // Of an entry that is gone nothing can be told, also not how it was corrected.
  const noted = lines.map((l, i) => ({ fact: facts[i], occurred: l.form?.occurred ?? null, by: [], isVoid: l.form !== null && voided.has(l.n) }));
  for (const [i, fact] of facts.entries()) {
    const at = fact?.shape.name === "EntryCorrected" ? noted[fact.values.get("of").get("n") - 1] : undefined;
    if (at === undefined || at.fact === null) continue;
    at.by = [...at.by, lines[i].n];
    const pointer = fact.values.get("pointer");
    if (fact.values.get("kind") === "clerical" && isText(pointer)) correct(at, pointer, fact);
  }
  return noted;
}

function correct(at, pointer, correction) {
  const open = correction.values.get("newOpen");
  if (pointer === "/occurred") at.occurred = open?.values.get("date") ?? null;
  else if (pointer.startsWith("/body/")) at.fact = withCorrected(at.fact, pointer.slice(6).split("/"), open, correction);
}

// The part with one member changed; the same part where the path leads to nothing that can be corrected.
function withCorrected(part, [name, ...rest], open, correction) {
  const kept = part.shape.withheld.find((f) => f.name === name);
  const field = kept ?? part.shape.open.find((f) => f.name === name);
  if (field === undefined || name === "parties") return part;
  const before = part.values.get(name);
  const values = new Map(part.values);
  if (field.kind.is === "part" && rest.length > 0 && before !== undefined) {
    values.set(name, withCorrected(before, rest, open, correction));
  } else if (field.kind.is === "keyed" && rest.length > 1 && before?.has(rest[0])) {
    values.set(name, new Map([...before].map(([key, inner]) => [key, key === rest[0] ? withCorrected(inner, rest.slice(1), open, correction) : inner])));
  } else if (rest.length === 0 && isValue(field.kind)) {
    const value = kept === undefined ? openValue(field.kind, open) : correction.values.get(NEW_WITHHELD[field.kind.is]);
    if (value === undefined) values.delete(name);
    else values.set(name, value);
  } else {
    return part;
  }
  return { shape: part.shape, values };
}

const isValue = (kind) => kind.is !== "part" && kind.is !== "keyed" && kind.of?.is !== "part";

const NEW_WITHHELD = { text: "newText", list: "newTexts", money: "newMoney", quantity: "newQuantity", date: "newDate", reference: "newReference" };

// Which member of the correction holds the new value of an open member. An int is a count; a long is an entry's number, which no slip of the
// pen points elsewhere.
const NEW_OPEN = { date: "date", quantity: "quantity", photograph: "photographs", int: "numbers", word: "words" };

function openValue(kind, open) {
  const element = kind.is === "list" ? kind.of : kind;
  const given = open?.values.get(NEW_OPEN[element.is]);
  if (given === undefined) return undefined;
  const all = Array.isArray(given) ? given : [given];
  if (element.is === "word" && !all.every((word) => element.words.includes(word))) return undefined;
  return kind.is === "list" ? all : all.length === 1 ? all[0] : undefined;
}
