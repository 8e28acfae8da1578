// Bytes and text, each in one spelling only: the platform's readers skip white space, repair and pad, so that many texts mean the same
// bytes. Here exactly one does.
const strict = new TextDecoder("utf-8", { fatal: true, ignoreBOM: true });
const lenient = new TextDecoder("utf-8", { ignoreBOM: true });
const encoder = new TextEncoder();

const LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789";
const STANDARD = LETTERS + "+/"; // RFC 4648 section 4
const URL_SAFE = LETTERS + "-_"; // RFC 4648 section 5
const valuesOf = (alphabet) => new Map([...alphabet].map((c, i) => [c, i]));
const standardValues = valuesOf(STANDARD);
const urlValues = valuesOf(URL_SAFE);

// The text of UTF-8 bytes; null when they are not valid UTF-8. A byte order mark stays, for its reader to refuse.
export function fromUtf8(bytes) {
  try {
    return strict.decode(bytes);
  } catch {
    return null; // TypeError: not UTF-8
  }
}

export const fromUtf8Leniently = (bytes) => lenient.decode(bytes);

export const toUtf8 = (text) => encoder.encode(text);

export function sameBytes(a, b) {
  if (a.length !== b.length) return false;
  for (let i = 0; i < a.length; i++) if (a[i] !== b[i]) return false;
  return true;
}

export function indexOfBytes(bytes, sought, from = 0) {
  for (let at = bytes.indexOf(sought[0], from); at >= 0; at = bytes.indexOf(sought[0], at + 1)) {
    let i = 1;
    while (i < sought.length && bytes[at + i] === sought[i]) i++;
    if (i === sought.length) return at;
  }
  return -1;
}

function encode(bytes, alphabet) {
  let text = "", bits = 0, held = 0;
  for (const byte of bytes) {
    bits = ((bits << 8) | byte) & 0xffff;
    for (held += 8; held >= 6; held -= 6) text += alphabet[(bits >> (held - 6)) & 63];
  }
  return held > 0 ? text + alphabet[(bits << (6 - held)) & 63] : text;
}

function decode(text, values) {
  if (text.length % 4 === 1) return null;
  const bytes = new Uint8Array(Math.floor(text.length * 6 / 8));
  let bits = 0, held = 0, at = 0;
  for (const c of text) {
    const value = values.get(c);
    if (value === undefined) return null;
    bits = ((bits << 6) | value) & 0xffff;
    held += 6;
    if (held < 8) continue;
    held -= 8;
    bytes[at++] = (bits >> held) & 0xff;
  }
  return (bits & ((1 << held) - 1)) === 0 ? bytes : null; // RFC 4648 section 3.5: spare bits must be zero
}

export const toBase64Url = (bytes) => encode(bytes, URL_SAFE);

// Bytes of unpadded base64url, or null.
export const fromBase64Url = (text) => decode(text, urlValues);

export const toBase64 = (bytes) => encode(bytes, STANDARD) + "=".repeat((3 - bytes.length % 3) % 3);

// Bytes of standard base64 with exact padding, or null.
export function fromBase64(text) {
  if (text.length % 4 !== 0) return null;
  const padding = text.endsWith("==") ? 2 : text.endsWith("=") ? 1 : 0;
  return decode(text.slice(0, text.length - padding), standardValues);
}

// A SHA-256 value is 43 characters base64url; one spelling each, so hashes compare as texts.
export const isHash = (text) => text.length === 43 && fromBase64Url(text) !== null;

export const toHex = (bytes) => [...bytes].map((b) => b.toString(16).padStart(2, "0")).join("");

// Bytes of so many hexadecimal digits of either case, or null.
export function fromHex(text, digits) {
  if (text.length !== digits || !/^[0-9a-fA-F]*$/.test(text)) return null;
  return Uint8Array.from({ length: digits / 2 }, (_, i) => parseInt(text.slice(i * 2, i * 2 + 2), 16));
}

// Upper case for the first letter of a sentence that begins with somebody's word.
export const sentence = (faults) => {
  const more = faults.length > 1 ? ` (and ${faults.length - 1} more)` : "";
  return faults[0][0].toUpperCase() + faults[0].slice(1) + more + ".";
};
