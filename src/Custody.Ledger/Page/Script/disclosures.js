// Disclosures of object properties (RFC 9901 section 4.2), each an array [salt, name, value] in its one canonical spelling.
import { isCount, isObject, isText, parseCanonical } from "./json.js";
import { Malformed } from "./malformed.js";
import { sha256 } from "./sha256.js";
import { fromBase64Url, toBase64Url, toUtf8 } from "./text.js";

const MAX_LENGTH = 65_536;
// Room for every withheld field of a long history; depth: array, object.
const FILE_LIMITS = { bytes: 256 << 20, depth: 2 };

const fail = (code, sentence) => {
  throw new Malformed(code, sentence);
};

// Section 4.2.3: SHA-256 over its characters.
export const digestOf = (text) => toBase64Url(sha256(toUtf8(text)));

// {name, value}
export function parseDisclosure(text) {
  if (text.length > MAX_LENGTH) fail("disclosure.too-large", `A disclosure has at most ${MAX_LENGTH} characters.`);
  const bytes = fromBase64Url(text) ?? fail("base64url", "The text is not base64url without padding, white space and spare bits.");
  const array = parseCanonical(bytes);
  if (!Array.isArray(array) || array.length !== 3 || !isText(array[0]) || !isText(array[1]))
    fail("disclosure.shape", "A disclosure is an array of salt, name and value.");
  const [salt, name, value] = array;
  if (salt.length !== 22 || fromBase64Url(salt) === null) fail("disclosure.salt", "A salt is 128 bits as 22 characters base64url.");
  if (name === "_sd" || name === "...") fail("disclosure.name", `The name "${name}" cannot be disclosed.`);
  if (holdsDigests(value)) fail("disclosure.nested", "A disclosed value holds no digests of its own.");
  return { name, value };
}

function holdsDigests(value) {
  if (Array.isArray(value)) return value.some(holdsDigests);
  return isObject(value) && (value.has("_sd") || [...value.values()].some(holdsDigests));
}

// The file disclosures.json: [{disclosure, n, pointer, stream}].
export function readDisclosures(bytes) {
  const array = parseCanonical(bytes, FILE_LIMITS);
  if (!Array.isArray(array)) fail("disclosures", "The disclosures are an array.");
  return array.map((item) => {
    const [text, n, pointer, stream] = ["disclosure", "n", "pointer", "stream"].map((name) => (isObject(item) ? item.get(name) : undefined));
    if (!isObject(item) || item.size !== 4 || !isText(text) || !isCount(n) || !isText(pointer) || !isText(stream))
      fail("disclosures", "A disclosure in the file has a text, n, pointer and stream.");
    return { text, n, pointer, stream };
  });
}
