// Ed25519 (RFC 8032) by the browser's own WebCrypto, which has it from Chrome 137, Firefox 129 and Safari 17 on, and only where the page
// counts as a secure context: opened from disk, from localhost, or over https.
import { sha256 } from "./sha256.js";
import { toHex } from "./text.js";

const ALGORITHM = { name: "Ed25519" };

// RFC 8032 section 7.1, TEST 1: the empty message. One signature verified before any of a dossier's is.
const KNOWN_KEY = "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a";
const KNOWN_SIGNATURE = "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b";

const fromDigits = (hex) => Uint8Array.from(hex.match(/../g), (pair) => parseInt(pair, 16));

// Why signatures cannot be verified here, in a sentence; null when they can.
export async function whyNoSignatures(scope = globalThis) {
  if (scope.isSecureContext === false)
    return "This page was opened in a way in which the browser keeps its cryptography back: save it and open it from your disk.";
  if (scope.crypto?.subtle === undefined) return "This browser has no WebCrypto.";
  try {
    return await verifyBy(scope.crypto.subtle, fromDigits(KNOWN_KEY), new Uint8Array(0), fromDigits(KNOWN_SIGNATURE))
      ? null
      : "This browser's WebCrypto does not accept a known Ed25519 signature.";
  } catch {
    return "This browser's WebCrypto lacks Ed25519. Chrome has it from 137, Firefox from 129, Safari from 17.";
  }
}

async function verifyBy(subtle, publicKey, message, signature) {
  const key = await subtle.importKey("raw", publicKey, ALGORITHM, false, ["verify"]);
  return subtle.verify(ALGORITHM, key, signature, message);
}

// The encodings of points of small order, sign bit aside: under such a key one signature fits many messages. Browsers differ here; the
// command's library refuses them all. y = 0, 1, the two of order 8, p-1, and p and p+1 for 0 and 1 written unreduced.
const SMALL_ORDER = new Set([
  "00".repeat(32),
  "01" + "00".repeat(31),
  "26e8958fc2b227b045c3f489f2ef98f0d5dfac05d3c63339b13802886d53fc05",
  "c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac037a",
  "ec" + "ff".repeat(30) + "7f",
  "ed" + "ff".repeat(30) + "7f",
  "ee" + "ff".repeat(30) + "7f",
]);

function isOfSmallOrder(point) {
  const y = Uint8Array.from(point);
  y[31] &= 0x7f;
  return SMALL_ORDER.has(toHex(y));
}

// Section 5.1.3: y below p = 2^255 - 19, written out the one way.
function isReduced(point) {
  return !((point[31] & 0x7f) === 0x7f && point.subarray(1, 31).every((b) => b === 0xff) && point[0] >= 0xed);
}

const known = new Map();

// Whether the signature fits. Never throws for a bad key or signature; each question is asked once.
export async function verifyEd25519(publicKey, message, signature) {
  if (publicKey.length !== 32 || signature.length !== 64) return false;
  if (isOfSmallOrder(publicKey) || isOfSmallOrder(signature.subarray(0, 32)) || !isReduced(publicKey)) return false;
  const question = toHex(sha256(publicKey, signature, sha256(message)));
  if (!known.has(question)) known.set(question, await answered(publicKey, message, signature));
  return known.get(question);
}

async function answered(publicKey, message, signature) {
  try {
    return await verifyBy(globalThis.crypto.subtle, publicKey, message, signature);
  } catch (fault) {
    // DataError or OperationError: 32 bytes that are no point of the curve. Anything else is not the key's fault.
    if (fault.name === "DataError" || fault.name === "OperationError") return false;
    throw fault;
  }
}
