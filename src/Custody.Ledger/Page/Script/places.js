// Which place in the log each line of a history and its context has, found by the proofs and by nothing else.
import { Malformed } from "./malformed.js";
import { parseProof } from "./notes.js";
import { sameBytes } from "./text.js";
import { leafOf, verifyInclusion } from "./tree.js";

// A forged dossier may hold many proofs that fit nothing; each is tried on every line left, within this bound.
const MOST_TRIES = 2_000_000;

// {of(line), faults, contextInOrder}
export async function findPlaces(checkpoint, checkpointBytes, proofs, historyLines, contextLines, pause) {
  const indexes = new Map(), faults = [];
  const leaves = leavesOf(historyLines, contextLines);
  const history = historyLines.filter((l) => leaves.has(l));
  const context = contextLines.filter((l) => leaves.has(l));
  // A line that cannot be read has a proof too, which can then fit nothing: check 2 has named the line.
  let unreadable = historyLines.length + contextLines.length - leaves.size;
  let tries = 0;

  const take = async (proof, left, from, to) => {
    for (let i = from; i < to && i < left.length && tries < MOST_TRIES; i++, tries++) {
      await pause();
      if (!verifyInclusion(leaves.get(left[i]), proof.index, checkpoint.size, proof.hashes, checkpoint.root)) continue;
      indexes.set(left[i], proof.index);
      left.splice(i, 1);
      return true;
    }
    return false;
  };
  // Both files follow the log's order, so the next line of one of them fits as a rule. Only where that fails all others are tried.
  const place = async (proof) => await take(proof, history, 0, 1) || await take(proof, context, 0, 1)
    || await take(proof, history, 1, history.length) || await take(proof, context, 1, context.length);

  for (const { index, bytes } of proofs) {
    const proof = open(index, bytes, checkpointBytes, faults);
    if (proof !== null && !await place(proof) && unreadable-- <= 0) faults.push(`the proof for index ${proof.index} fits no entry of this dossier`);
  }
  const byNumber = [...historyLines].sort((a, b) => (a.n ?? -1) - (b.n ?? -1));
  if (!ascending(byNumber, indexes)) faults.push("the log holds the entries of this history in another order");
  for (const line of history) faults.push(`no proof fits line ${line.number} of history.jsonl`);
  for (const line of context) faults.push(`no proof fits line ${line.number} of context.jsonl`);
  return { of: (line) => indexes.get(line), faults, contextInOrder: ascending(contextLines, indexes) };
}

function open(index, bytes, checkpointBytes, faults) {
  try {
    const proof = parseProof(bytes);
    if (proof.index !== index) faults.push(`the proof named ${index} is one for index ${proof.index}`);
    else if (!sameBytes(proof.checkpoint, checkpointBytes)) faults.push(`the proof for index ${index} carries another checkpoint`);
    else if (proof.extra !== null) faults.push(`the proof for index ${index} carries bytes that nobody vouches for`);
    else return proof;
  } catch (fault) {
    if (!(fault instanceof Malformed)) throw fault;
    faults.push(`the proof for index ${index} cannot be read: ${fault.message}`);
  }
  return null;
}

function ascending(lines, indexes) {
  const placed = lines.filter((l) => indexes.has(l)).map((l) => indexes.get(l));
  return placed.every((index, i) => i === 0 || placed[i - 1] < index);
}

// The lines that need proof, with the leaf each must be in the log. A line for an entry that is gone says neither ledger nor stream: those
// of the lines around it.
function leavesOf(historyLines, contextLines) {
  const leaves = new Map();
  const around = historyLines.find((l) => l.form !== null)?.form;
  for (const [lines, fallback] of [[historyLines, around], [contextLines, undefined]]) {
    for (const line of lines) {
      const at = line.form ?? fallback;
      if (at !== undefined && line.hash !== null) leaves.set(line, leafOf(line.hash, at.ledger, at.stream, line.n));
    }
  }
  return leaves;
}
