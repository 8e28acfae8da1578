// The Merkle tree of RFC 9162 section 2.1 over SHA-256. Sizes and indexes count leaves and are BigInt: a log may have 2^63 of them.
import { sha256 } from "./sha256.js";
import { fromBase64Url, sameBytes, toUtf8 } from "./text.js";

const LEAF = Uint8Array.of(0);
const NODE = Uint8Array.of(1);

// Most hashes in any proof that is read: a tree of 2^63 leaves needs no more.
export const MOST_IN_PROOF = 126;

// Root of the empty tree: SHA-256 of nothing (section 2.1.1).
export const EMPTY_ROOT = sha256();

const node = (left, right) => sha256(NODE, left, right);

// What the log holds of an entry, as a leaf: SHA-256(0x00 || entry hash || slot tag). The tag names one place of one stream.
export function leafOf(entryHash, ledger, stream, n) {
  const slot = sha256(toUtf8(`custody/slot/v1\n${ledger}\n${stream}\n${n}`));
  return sha256(LEAF, fromBase64Url(entryHash), slot);
}

// Section 2.1.3.2, with the numbers of its steps.
export function verifyInclusion(leaf, index, size, proof, root) {
  if (index >= size) return false; // step 1
  let fn = index, sn = size - 1n, r = leaf; // steps 2 and 3
  for (const p of proof) { // step 4
    if (sn === 0n) return false;
    if ((fn & 1n) === 1n || fn === sn) {
      r = node(p, r);
      while ((fn & 1n) === 0n && fn !== 0n) [fn, sn] = [fn >> 1n, sn >> 1n];
    } else {
      r = node(r, p);
    }
    [fn, sn] = [fn >> 1n, sn >> 1n];
  }
  return sn === 0n && sameBytes(r, root); // step 5
}
