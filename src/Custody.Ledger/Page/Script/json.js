// JSON as the ledger means it: read strictly (RFC 8259, I-JSON), written in its one canonical spelling (RFC 8785).
// Objects are Maps in the order written, arrays are arrays, whole numbers within 2^53-1 are numbers, every other number is a Num.
import { Malformed } from "./malformed.js";
import { fromUtf8, toUtf8 } from "./text.js";

export class Num {
  constructor(value) {
    this.value = value;
  }
}

export const isObject = (json) => json instanceof Map;
export const isText = (json) => typeof json === "string";
export const isCount = (json) => typeof json === "number" && json >= 1;

// What a reader accepts at most: bytes of the whole text, arrays and objects open at once.
export const ENTRY_LIMITS = { bytes: 65_536, depth: 16 };
const LIMITS = { bytes: 16 << 20, depth: 64 };

const fail = (code, text) => {
  throw new Malformed(code, text);
};
const syntax = () => fail("json.syntax", "A JSON value was expected here.");
const lone = () => fail("json.lone-surrogate", "An escaped surrogate stands without its other half.");

const ESCAPES = new Map([['"', '"'], ["\\", "\\"], ["/", "/"], ["b", "\b"], ["f", "\f"], ["n", "\n"], ["r", "\r"], ["t", "\t"]]);
const NUMBER = /-?(?:0|[1-9][0-9]*)(\.[0-9]+)?([eE][+-]?[0-9]+)?/y;
const NUMBER_BEGUN = /-?(?:0|[1-9][0-9]*)?(?:\.[0-9]*)?(?:[eE][+-]?)?/y;
const PLAIN = /[^\u0000-\u001f"\\]*/y;

class Reader {
  constructor(text, limits) {
    this.text = text;
    this.limits = limits;
    this.at = 0;
    this.depth = 0;
  }

  document() {
    this.space();
    const value = this.value();
    this.space();
    if (this.at < this.text.length) fail("json.trailing", "Something follows the JSON value.");
    return value;
  }

  value() {
    const c = this.peek();
    if (c === "{") return this.object();
    if (c === "[") return this.array();
    if (c === '"') return this.string();
    if (c === "t") return this.literal("true", true);
    if (c === "f") return this.literal("false", false);
    if (c === "n") return this.literal("null", null);
    return c === "-" || (c >= "0" && c <= "9") ? this.number() : syntax();
  }

  literal(word, value) {
    if (!this.text.startsWith(word, this.at)) syntax();
    this.at += word.length;
    return value;
  }

  object() {
    this.enter();
    const members = new Map();
    let repeated = null;
    if (!this.took("}")) {
      do {
        this.space();
        if (this.peek() !== '"') fail("json.syntax", "A member name was expected here.");
        const name = this.string();
        this.space();
        if (!this.tookHere(":")) fail("json.syntax", "A colon was expected here.");
        this.space();
        const value = this.value();
        if (members.has(name)) repeated ??= name;
        members.set(name, value);
      } while (this.continues("}"));
    }
    this.depth--;
    if (repeated !== null) fail("json.duplicate-name", `The object ending here holds the name "${repeated}" twice.`);
    return members;
  }

  array() {
    this.enter();
    const items = [];
    if (!this.took("]")) {
      do {
        this.space();
        items.push(this.value());
      } while (this.continues("]"));
    }
    this.depth--;
    return items;
  }

  enter() {
    if (++this.depth > this.limits.depth) fail("json.too-deep", `More than ${this.limits.depth} arrays and objects are open here.`);
    this.at++;
  }

  continues(close) {
    if (this.took(close)) return false;
    if (this.tookHere(",")) return true;
    this.peek();
    return fail("json.syntax", "A comma or the end of the array or object was expected here.");
  }

  took(c) {
    this.space();
    return this.tookHere(c);
  }

  tookHere(c) {
    if (this.text[this.at] !== c) return false;
    this.at++;
    return true;
  }

  peek() {
    return this.at < this.text.length ? this.text[this.at] : fail("json.truncated", "The JSON text ends too early.");
  }

  space() {
    while (" \t\n\r".includes(this.text[this.at] ?? "x")) this.at++;
  }

  run(pattern) {
    pattern.lastIndex = this.at;
    const match = pattern.exec(this.text);
    if (match !== null) this.at = pattern.lastIndex;
    return match;
  }

  string() {
    this.at++;
    let text = "";
    for (;;) {
      text += this.run(PLAIN)[0];
      if (this.at >= this.text.length) fail("json.truncated", "The JSON text ends inside a text.");
      const c = this.text[this.at];
      if (c < " ") fail("json.control", "A control character inside a text must be escaped.");
      this.at++;
      if (c === '"') return text;
      text += this.escape();
    }
  }

  escape() {
    const c = this.peek();
    this.at++;
    if (ESCAPES.has(c)) return ESCAPES.get(c);
    if (c !== "u") fail("json.escape", "This escape does not exist in JSON.");
    const unit = this.hex4();
    if (unit < 0xd800 || unit > 0xdfff) return String.fromCharCode(unit);
    // A high half must be followed at once by an escaped low half; UTF-8 itself was checked, so a raw one cannot follow.
    if (unit > 0xdbff || !this.text.startsWith("\\u", this.at)) lone();
    this.at += 2;
    const low = this.hex4();
    if (low < 0xdc00 || low > 0xdfff) lone();
    return String.fromCharCode(unit, low);
  }

  hex4() {
    const digits = this.text.slice(this.at, this.at + 4);
    if (toUtf8(digits).length < 4) fail("json.truncated", "The JSON text ends inside an escape.");
    if (!/^[0-9a-fA-F]{4}$/.test(digits)) fail("json.escape", "Four hexadecimal digits were expected here.");
    this.at += 4;
    return parseInt(digits, 16);
  }

  // RFC 8259 section 6. "-0" is minus zero, which only a double can hold.
  number() {
    const from = this.at;
    const match = this.run(NUMBER);
    if (match === null || /^[.eE]/.test(this.text.slice(this.at, this.at + 1))) {
      this.at = from;
      this.run(NUMBER_BEGUN);
      this.peek();
      fail("json.number", "A digit was expected here.");
    }
    const value = Number(match[0]);
    if (match[1] === undefined && match[2] === undefined && match[0] !== "-0" && Number.isSafeInteger(value)) return value;
    return Number.isFinite(value) ? new Num(value) : fail("json.number-range", "The number is beyond the range of a double.");
  }
}

// Reads one JSON text; throws Malformed with a code beginning json.
export function parseJson(bytes, limits = LIMITS) {
  if (bytes.length > limits.bytes) fail("json.too-large", `The JSON text is longer than ${limits.bytes} bytes.`);
  if (bytes[0] === 0xef && bytes[1] === 0xbb && bytes[2] === 0xbf) fail("json.bom", "The JSON text begins with a byte order mark.");
  const text = fromUtf8(bytes) ?? fail("json.utf8", "The JSON text is not valid UTF-8.");
  return new Reader(text, limits).document();
}

// Reads a text that must already be in its canonical spelling.
export function parseCanonical(bytes, limits = LIMITS) {
  const value = parseJson(bytes, limits);
  if (writeJson(value) !== fromUtf8(bytes)) fail("json.not-canonical", "The JSON text is not in its canonical spelling.");
  return value;
}

// RFC 8785 section 3.2. Its numbers and escapes are those of ECMAScript, its order of names that of UTF-16 code units: the language's own.
export function writeJson(json) {
  if (json instanceof Num) return json.value === 0 ? "0" : String(json.value);
  if (Array.isArray(json)) return `[${json.map(writeJson).join(",")}]`;
  if (!isObject(json)) return JSON.stringify(json);
  return `{${[...json.keys()].sort().map((name) => `${JSON.stringify(name)}:${writeJson(json.get(name))}`).join(",")}}`;
}
