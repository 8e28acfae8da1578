// How the values of an entry's members are spelled. What a kind is, and which shape has which, stands in the published table of shapes.
import { readEdtf } from "./days.js";
import { isCount, isObject, isText } from "./json.js";
import { Malformed } from "./malformed.js";
import { isOrigin } from "./notes.js";
import { published } from "./published.js";
import { isHash } from "./text.js";

const bad = (pointer, sentence) => {
  throw new Malformed("entry.value", `${pointer}: ${sentence}`);
};

export const expected = (pointer, what) => bad(pointer, `${what} is expected here.`);

// Letters and digits, first a lower-case letter: every member name of an entry but _sd.
export const isName = (text) => /^[a-z][A-Za-z0-9]{0,63}$/.test(text);

// p1, p2, ...: a person or firm as one stream knows it.
export const isAlias = (text) => /^p[1-9][0-9]{0,5}$/.test(text);

// Kind, slash, 26 Crockford characters, the last of which carries two zero bits.
export function isStreamName(text) {
  const match = /^([a-z]+)\/[0-9A-HJKMNP-TV-Z]{25}[048CGMRW]$/.exec(text);
  return match !== null && published.streams.includes(match[1]);
}

export function readReference(json, pointer) {
  return isReference(json) ? json : expected(pointer, "a reference");
}

// {hash, ledger (absent for the same ledger), n, stream}
export function isReference(json) {
  if (!isObject(json) || !isText(json.get("hash")) || !isHash(json.get("hash")) || !isCount(json.get("n"))) return false;
  if (!isText(json.get("stream")) || !isStreamName(json.get("stream")) || json.size !== (json.has("ledger") ? 4 : 3)) return false;
  return !json.has("ledger") || (isText(json.get("ledger")) && isOrigin(json.get("ledger")));
}

// The decimal number as written, or a complaint: no exponent, no spare zeros in front, no minus zero; trailing zeros say how it was measured.
function decimal(text, pointer) {
  if (text.length > 64) bad(pointer, "The number is too long.");
  if (!/^-?(0|[1-9][0-9]*)(\.[0-9]+)?$/.test(text) || /^-[0.]*$/.test(text)) bad(pointer, "This is not a decimal number in its plain form.");
  return text;
}

function twoTexts(json, pointer, first, second) {
  return isObject(json) && json.size === 2 && isText(json.get(first)) && isText(json.get(second))
    ? [json.get(first), json.get(second)]
    : expected(pointer, `an object of "${first}" and "${second}"`);
}

function quantity(json, pointer) {
  const [value, unit] = twoTexts(json, pointer, "value", "unit");
  decimal(value, pointer);
  if (!published.units.includes(unit)) bad(pointer, `"${unit}" is not a unit this program records.`);
  return json;
}

function money(json, pointer) {
  const [amount, currency] = twoTexts(json, pointer, "amount", "currency");
  decimal(amount, pointer);
  if (!Object.hasOwn(published.currencies, currency)) bad(pointer, `"${currency}" is not a currency code.`);
  const digits = published.currencies[currency];
  if ((amount.split(".")[1] ?? "").length > digits) bad(pointer, `${currency} has ${digits} digits after the point.`);
  return json;
}

function date(text, pointer) {
  return readEdtf(text) === null ? bad(pointer, `"${text}" is not a date in EDTF.`) : text;
}

const text = (json, pointer, words, fits) => (isText(json) && fits(json) ? json : expected(pointer, words));

const INTEGERS = {
  int: (value) => value >= -(2 ** 31) && value < 2 ** 31,
  long: () => true,
};

// One value that is not a part, list or set of parts; throws Malformed when it is not spelled as its kind is.
export function readValue(kind, json, pointer) {
  switch (kind.is) {
    case "word": return isText(json) && kind.words.includes(json) ? json : expected(pointer, `one of the words ${kind.words.join(" | ")}`);
    case "int":
    case "long":
      if (typeof json !== "number") expected(pointer, "a whole number");
      return INTEGERS[kind.is](json) ? json : expected(pointer, "a smaller number");
    case "truth": return typeof json === "boolean" ? json : expected(pointer, "true or false");
    case "text": return text(json, pointer, "text", () => true);
    case "alias": return text(json, pointer, "alias", isAlias);
    case "stream": return text(json, pointer, "stream", isStreamName);
    case "photograph": return text(json, pointer, "photograph (SHA-256)", isHash);
    case "date": return date(text(json, pointer, "date (EDTF)", () => true), pointer);
    case "quantity": return quantity(json, pointer);
    case "money": return money(json, pointer);
    case "reference": return readReference(json, pointer);
    default: throw new Error(`There is no kind ${kind.is}.`);
  }
}
