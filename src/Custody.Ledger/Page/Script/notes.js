// Signed notes (c2sp.org/signed-note) and what this ledger says in them: checkpoints (c2sp.org/tlog-checkpoint), heads, changes of key,
// and proofs that carry a checkpoint (c2sp.org/tlog-proof).
import { verifyEd25519 } from "./ed25519.js";
import { Malformed } from "./malformed.js";
import { sha256 } from "./sha256.js";
import { fromBase64, fromUtf8, fromUtf8Leniently, indexOfBytes, sameBytes, toBase64, toBase64Url, toHex, toUtf8 } from "./text.js";
import { EMPTY_ROOT, MOST_IN_PROOF } from "./tree.js";

const MAX_NOTE = 1 << 20;
const MAX_SIGNATURES = 128;
const MAX_NAME = 255;
export const ED25519 = 1;
export const COSIGNATURE = 4;
const DASH = "\u2014 ";

const fail = (code, sentence) => {
  throw new Malformed(code, sentence);
};

// A key's name: not empty, no white space, plus or control character, no half surrogate pair ("Format" of the specification).
const isKeyName = (name) => name.length > 0 && name.length <= MAX_NAME && name.isWellFormed()
  && !/[\u0000- +\u007f-\u00a0\u1680\u2000-\u200a\u2028\u2029\u202f\u205f\u3000]/.test(name);

// A ledger's name is a key's name that no other note's first line can be taken for.
export const isOrigin = (text) => isKeyName(text) && !text.endsWith("/head") && !text.endsWith("/key");

const keyId = (name, type, key) => toHex(sha256(toUtf8(name + "\n"), Uint8Array.of(type), key).subarray(0, 4));

// A verifier key: {name, type, key, id, text}.
export function parseKey(text) {
  const parts = text.length <= MAX_NAME + 64 ? /^([^+]*)\+([^+]*)\+(.*)$/s.exec(text)?.slice(1) : undefined;
  const material = parts === undefined ? null : fromBase64(parts[2]);
  if (material === null || material.length === 0) fail("vkey", "A verifier key is a name, eight hexadecimal digits and base64, joined by plus.");
  const [name, stated] = parts;
  const [type, key] = [material[0], material.subarray(1)];
  if (!isKeyName(name)) fail("vkey.name", "A key name is not empty and holds no space, plus or control character.");
  if (type !== ED25519 && type !== COSIGNATURE) fail("vkey.type", "Only Ed25519 keys of the types 0x01 and 0x04 are known here.");
  if (key.length !== 32) fail("vkey.key", "The public key is not 32 bytes of an Ed25519 key.");
  const id = keyId(name, type, key);
  if (stated !== id) fail("vkey.id", "The key identifier does not belong to this name and key.");
  return { name, type, key, id, text: `${name}+${id}+${toBase64(material)}` };
}

// How a key is promised before it is shown: SHA-256 of its text, 43 characters.
const digestOfKey = (key) => toBase64Url(sha256(toUtf8(key.text)));

export const owns = (key, signature) => key.id === signature.id && key.name === signature.name;

// A note: {text, bytes, signatures}. Means nothing until its signatures were verified.
export function parseNote(bytes) {
  if (bytes.length > MAX_NOTE) fail("note.too-large", `A note has at most ${MAX_NOTE} bytes.`);
  const all = fromUtf8(bytes) ?? fail("note.utf8", "The note is not valid UTF-8.");
  if (/[\u0000-\u0009\u000b-\u001f]/.test(all)) fail("note.control", "A note holds no control character but line feeds.");
  // The text may hold empty lines: the last one parts it from the signatures.
  const split = all.lastIndexOf("\n\n");
  if (split < 0 || !all.endsWith("\n") || split + 2 === all.length)
    fail("note.shape", "A note is a text, an empty line and at least one signature line, each ending in a line feed.");
  const lines = all.slice(split + 2, -1).split("\n");
  if (lines.length > MAX_SIGNATURES) fail("note.signatures", `A note has at most ${MAX_SIGNATURES} signatures.`);
  const text = all.slice(0, split + 1);
  return { text, bytes: toUtf8(text), signatures: lines.map(parseSignature) };
}

function parseSignature(line) {
  const parts = line.startsWith(DASH) ? line.slice(DASH.length).split(" ") : [];
  const blob = parts.length === 2 && isKeyName(parts[0]) ? fromBase64(parts[1]) : null;
  if (blob === null || blob.length <= 4) fail("note.signature", "A signature line is an em dash, a key name and base64 of identifier and signature.");
  return { name: parts[0], id: toHex(blob.subarray(0, 4)), bytes: blob.subarray(4) };
}

// Lines of unknown keys are ignored, one known key whose signature fails condemns the note, at least one known key must have signed.
// Answers {keys, sentence}: who signed, or why the note does not hold (then keys is empty).
export async function verifyNote(note, known) {
  const keys = [];
  for (const signature of note.signatures) {
    const key = known.find((k) => owns(k, signature));
    if (key === undefined) continue;
    if (!await verifyLine(key, note.bytes, signature.bytes)) return { keys: [], sentence: `The signature under the name ${key.name} does not fit.` };
    if (!keys.includes(key)) keys.push(key);
  }
  return { keys, sentence: keys.length > 0 ? null : "None of the known keys has signed this note." };
}

// A cosignature signs two lines, the second with the time it carries, and then the note (c2sp.org/tlog-cosignature).
async function verifyLine(key, text, bytes) {
  if (key.type === ED25519) return verifyEd25519(key.key, text, bytes);
  if (bytes.length !== 72) return false;
  const time = new DataView(bytes.buffer, bytes.byteOffset, 8).getBigInt64(0);
  if (time < 0n) return false;
  const lines = toUtf8(`cosignature/v1\ntime ${time}\n`);
  const message = new Uint8Array(lines.length + text.length);
  message.set(lines);
  message.set(text, lines.length);
  return verifyEd25519(key.key, message, bytes.subarray(8));
}

// ---- the texts of notes

function linesOf(text, code) {
  const lines = text.split("\n");
  if (lines.pop() !== "" || lines.includes("")) fail(code, "The note text holds an empty line or does not end in a line feed.");
  return lines;
}

// A decimal without sign and leading zeros, up to 2^63 - 1.
function decimal(text, code) {
  const value = /^(0|[1-9][0-9]{0,18})$/.test(text) ? BigInt(text) : 1n << 63n;
  return value < 1n << 63n ? value : fail(code, "A number in the note is not a plain decimal.");
}

function hash(text, code) {
  const bytes = text.length === 44 ? fromBase64(text) : null;
  return bytes?.length === 32 ? bytes : fail(code, "A hash in the note is not 32 bytes in base64.");
}

function originBefore(line, suffix, code) {
  const origin = line.endsWith(suffix) ? line.slice(0, -suffix.length) : "";
  return isOrigin(origin) ? origin : fail(code, `The first line is not the ledger's origin followed by ${suffix}.`);
}

// {origin, size, root}
export function readCheckpoint(note) {
  const lines = linesOf(note.text, "checkpoint");
  if (lines.length < 3) fail("checkpoint", "A checkpoint has at least three lines: origin, size and root.");
  const [origin, size, root] = [lines[0], decimal(lines[1], "checkpoint"), hash(lines[2], "checkpoint")];
  if (size === 0n && !sameBytes(root, EMPTY_ROOT)) fail("checkpoint", "An empty tree has the hash of nothing as its root.");
  return { origin, size, root };
}

// A second in UTC, such as 2031-04-02T09:00:00Z: one form, so that times compare as texts.
export function isSecond(text) {
  const match = /^(\d{4})-(\d{2})-(\d{2})T([01]\d|2[0-3]):[0-5]\d:[0-5]\dZ$/.exec(text);
  if (match === null || match[1] === "0000") return false;
  const day = new Date(`${text.slice(0, 10)}T00:00:00Z`);
  return !Number.isNaN(day.getTime()) && day.toISOString().slice(0, 10) === text.slice(0, 10);
}

// {origin, stream, n, entry, size, root, time}: n and size BigInt, entry 43 characters, time text.
export function readHead(note) {
  const lines = linesOf(note.text, "head");
  if (lines.length !== 7) fail("head", "A head has seven lines: origin, stream, n, entry, size, root, time.");
  if (!lines[1].includes("/")) fail("head", "The stream of a head holds a slash.");
  if (!isSecond(lines[6])) fail("head", "The time of a head is UTC to the second (RFC 3339).");
  const head = {
    origin: originBefore(lines[0], "/head", "head"), stream: lines[1], n: decimal(lines[2], "head"), entry: toBase64Url(hash(lines[3], "head")),
    size: decimal(lines[4], "head"), root: hash(lines[5], "head"), time: lines[6],
  };
  return head.n >= 1n && head.size >= head.n ? head : fail("head", "A head names a place from 1 on and no fewer leaves than that.");
}

// A change of key, read and held against what was known before it. Signed by both keys; after a compromise, which its seventh line names,
// by the promised key alone.
export async function followRotation(bytes, current, promised) {
  const note = parseNote(bytes);
  const lines = linesOf(note.text, "key-rotation");
  if ((lines.length !== 6 && lines.length !== 7) || (lines.length === 7 && lines[6] !== "compromised"))
    fail("key-rotation", "A key rotation has six lines: origin, old key, new key, digest of the next, size, root.");
  const origin = originBefore(lines[0], "/key", "key-rotation");
  const [old, next] = [parseKey(lines[1]), parseKey(lines[2])];
  const after = toBase64Url(hash(lines[3], "key-rotation"));
  const size = decimal(lines[4], "key-rotation");
  hash(lines[5], "key-rotation");
  const compromised = lines.length === 7;
  const ours = (key) => key.type === ED25519 && key.name === origin;
  if (old.text !== current.text || next.text === current.text || !ours(current) || !ours(next))
    fail("key-rotation.keys", "The rotation does not lead from the present key to another of the same ledger.");
  if (digestOfKey(next) !== promised) fail("key-rotation.promise", "The new key is not the one whose digest had been given before.");
  const signers = (await verifyNote(note, [current, next])).keys;
  if (!signers.includes(next) || (!compromised && !signers.includes(current)))
    fail("key-rotation.signature", "The rotation is not signed as it must be: by both keys, or after a compromise by the new one.");
  return { origin, key: next, promised: after, size, compromised };
}

// {index, hashes, checkpoint, extra}: the proof of one leaf, its checkpoint as bytes. Verifies nothing.
export function parseProof(bytes) {
  const end = indexOfBytes(bytes, [10, 10]);
  if (end < 0 || end > 16_384) fail("proof", "A proof has an empty line before its checkpoint, and few lines before that.");
  const lines = fromUtf8Leniently(bytes.subarray(0, end)).split("\n");
  if (lines.shift() !== "c2sp.org/tlog-proof@v1") fail("proof", "A proof begins with the line c2sp.org/tlog-proof@v1.");
  const extra = lines[0]?.startsWith("extra ") ? lines.shift().slice(6) : null;
  const index = lines.shift();
  if (!index?.startsWith("index ")) fail("proof", "A proof names the index of its leaf.");
  if (lines.length > MOST_IN_PROOF) fail("proof", "The inclusion proof is longer than any tree needs.");
  const checkpoint = bytes.subarray(end + 2);
  readCheckpoint(parseNote(checkpoint));
  const proof = { index: decimal(index.slice(6), "proof"), hashes: lines.map((l) => hash(l, "proof")), checkpoint, extra };
  if (extra !== null && fromBase64(extra) === null) fail("proof", "The extra line is not base64.");
  return proof;
}
