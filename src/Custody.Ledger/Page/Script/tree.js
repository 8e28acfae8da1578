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

// Section 2.1.4.2, with the numbers of its steps. Two equal sizes, and a first size of 0, take only an empty proof.
export function verifyConsistency(size1, root1, size2, root2, proof) {
  if (size1 > size2) return false;
  if (size1 === size2) return proof.length === 0 && sameBytes(root1, root2) && (size1 > 0n || sameBytes(root1, EMPTY_ROOT));
  if (size1 === 0n) return proof.length === 0 && sameBytes(root1, EMPTY_ROOT);
  if (proof.length === 0) return false; // step 1
  const rest = (size1 & (size1 - 1n)) === 0n ? [root1, ...proof] : proof; // step 2
  let fn = size1 - 1n, sn = size2 - 1n; // step 3
  while ((fn & 1n) === 1n) [fn, sn] = [fn >> 1n, sn >> 1n]; // step 4
  let fr = rest[0], sr = rest[0]; // step 5
  for (const c of rest.slice(1)) { // step 6
    if (sn === 0n) return false;
    if ((fn & 1n) === 1n || fn === sn) {
      [fr, sr] = [node(c, fr), node(c, sr)];
      while ((fn & 1n) === 0n && fn !== 0n) [fn, sn] = [fn >> 1n, sn >> 1n];
    } else {
      sr = node(sr, c);
    }
    [fn, sn] = [fn >> 1n, sn >> 1n];
  }
  return sn === 0n && sameBytes(fr, root1) && sameBytes(sr, root2); // step 7
}
