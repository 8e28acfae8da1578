// Check 14: each time of recording lies between two checkpoints that somebody else than the ledger timed.
import { Malformed, orNull } from "./malformed.js";
import { COSIGNATURE, owns, parseKey, parseNote, readCheckpoint, verifyNote } from "./notes.js";
import { failed, notChecked, onHousesWord, passed } from "./outcomes.js";
import { fromBase64, fromUtf8Leniently } from "./text.js";
import { verifyConsistency } from "./tree.js";

// How far honest clocks may be apart; common practice. Milliseconds.
const CLOCKS = 5 * 60_000;
const LAST_SECOND = 253_402_300_799n; // of the year 9999

// {trees, fault}: trees by ascending size, each with the time by which it stood and whether the reader trusts those who say so; why the
// timeline does not hold.
export async function readTimeline(reading, policy) {
  const points = { trees: [], fault: null };
  const latest = reading.checkpoint.value, keys = reading.keys.value;
  if (latest === null || keys === null) return points;
  points.trees.push(...await cosigned(reading.checkpoint.note, latest, reading, policy));
  for (const [size, files] of bySize(reading.timeline)) {
    try {
      const { note, checkpoint } = await pointOf(size, files, latest, keys);
      const said = await cosigned(note, checkpoint, reading, policy);
      // What a compromised key signed counts if somebody trusted saw it before the compromise was told; otherwise it is left aside.
      const seen = said.find((t) => t.isIndependent)?.time ?? null;
      // A time stamp is somebody's word too; whose, only the command can tell.
      if (files.get("tsr")?.length > 0) said.push({ size, time: null, isIndependent: false });
      if ((await verifyNote(note, keys.inForceAt(size, seen))).sentence === null) points.trees.push(...said);
    } catch (fault) {
      if (!(fault instanceof Malformed)) throw fault;
      points.fault ??= `The timed checkpoint of size ${size} does not hold: ${fault.message}.`;
    }
  }
  return points;
}

function bySize(timeline) {
  const sizes = new Map();
  for (const { name, bytes } of timeline) {
    const [size, kind] = [BigInt(name.slice(0, name.indexOf("."))), name.slice(name.indexOf(".") + 1)];
    sizes.set(size, (sizes.get(size) ?? new Map()).set(kind, bytes));
  }
  return [...sizes].sort(([a], [b]) => (a < b ? -1 : 1));
}

// One checkpoint of the timeline: signed by the ledger, and the beginning of the dossier's own tree.
async function pointOf(size, files, latest, keys) {
  const bad = (why) => {
    throw new Malformed("timeline", why);
  };
  const note = parseNote(files.get("checkpoint") ?? bad("the checkpoint itself is missing"));
  const checkpoint = readCheckpoint(note);
  if (checkpoint.origin !== latest.origin || checkpoint.size !== size) bad("it is the checkpoint of another ledger or size");
  // Whether a key that was compromised later still counts is asked when it is known who saw the checkpoint.
  if ((await verifyNote(note, keys.inForceAt(size, -Infinity))).sentence !== null) bad("it is not signed by the ledger's key");
  const proof = readConsistency(files.get("consistency") ?? new Uint8Array(0));
  if (!verifyConsistency(size, checkpoint.root, latest.size, latest.root, proof)) bad("the dossier's tree does not go on from it");
  return { note, checkpoint };
}

function readConsistency(file) {
  const lines = fromUtf8Leniently(file).split("\n");
  if (lines.pop() !== "") throw new Malformed("consistency", "the last line does not end");
  return lines.map((line) => {
    const hash = line.length === 44 ? fromBase64(line) : null;
    if (hash?.length !== 32) throw new Malformed("hash", "The text or bytes are not one SHA-256 value.");
    return hash;
  });
}

// What cosignatures under a checkpoint say: the time by which enough cosigners had seen it. One tree, or none.
async function cosigned(note, checkpoint, reading, policy) {
  const tree = (time, isIndependent) => (time === null ? [] : [{ size: checkpoint.size, time, isIndependent }]);
  if (policy?.asksForCosigners) return tree(await seenBy(note, policy.cosigners.map((c) => c.key), (keys) => policy.isSatisfiedBy(keys)), true);
  // Those whom the ledger itself named when it was opened: its own choice, so no independent word.
  const opened = openedOf(reading);
  const named = (opened?.values.get("cosigners") ?? []).map((text) => orNull(() => parseKey(text))).filter((key) => key !== null);
  return named.length === 0 ? [] : tree(await seenBy(note, named, (keys) => keys.length >= Math.max(1, opened.values.get("quorum"))), false);
}

const openedOf = (reading) => reading.context.lines.find((l) => l.fact !== null && l.form.type === "LedgerOpened")?.fact;

// A cosigner's bad line, or one of a time beyond any calendar, is no cosignature; it takes nothing from the others. Milliseconds, or null.
async function seenBy(note, cosigners, enough) {
  const seen = [];
  for (const key of cosigners.filter((k) => k.type === COSIGNATURE)) {
    if ((await verifyNote(note, [key])).sentence !== null) continue;
    const { bytes } = note.signatures.find((s) => owns(key, s));
    const time = new DataView(bytes.buffer, bytes.byteOffset, 8).getBigInt64(0);
    if (time >= 0n && time <= LAST_SECOND) seen.push({ key, time });
  }
  seen.sort((a, b) => (a.time < b.time ? -1 : a.time > b.time ? 1 : 0));
  const last = seen.findIndex((s, i) => enough(seen.slice(0, i + 1).map((v) => v.key)));
  return last < 0 ? null : Number(seen[last].time) * 1000;
}

export function recordedBetween(reading, points, unable) {
  if (unable !== null && (reading.timeline.length > 0)) return notChecked(`There are timed checkpoints here. ${unable} Use the command, or another browser.`);
  if (points.fault !== null) return failed(points.fault);
  if (points.trees.length === 0) return onHousesWord("There is no independently timed checkpoint in this dossier: time is the house's word only.");
  const independent = points.trees.filter((t) => t.isIndependent);
  if (independent.length === 0)
    return onHousesWord("Others timed checkpoints of this ledger, but nobody vouched for them (--policy, --time-root): time is the house's word only.");
  const slack = (openedOf(reading)?.values.get("checkpointSeconds") ?? 0) * 1000 + CLOCKS;
  let both = 0, some = 0, widest = 0;
  for (const line of reading.history.lines) {
    const index = reading.places?.of(line);
    if (line.form === null || index === undefined) continue;
    const [after, before] = boundsOf(index, independent);
    const contradiction = contradictionOf(line.form, after, before, slack);
    if (contradiction !== null) return failed(contradiction);
    if (after !== null && before !== null) both++;
    else if (after !== null || before !== null) some++;
    if (after !== null && before !== null) widest = Math.max(widest, before - after);
  }
  return told(reading.history.lines.length, both, some, widest);
}

// The latest time at which the newest tree lacked this entry, and the earliest at which a tree held it; null where nobody says so. Cosigners go
// on from tree to tree; a time stamp could be one of an old tree, but this page reads none.
function boundsOf(index, trees) {
  const [lacking, holding] = [trees.filter((t) => t.size <= index), trees.filter((t) => t.size > index)].map((some) => some.map((t) => t.time));
  return [lacking.length > 0 ? Math.max(...lacking) : null, holding.length > 0 ? Math.min(...holding) : null];
}

const second = (milliseconds) => new Date(milliseconds).toISOString().slice(0, 19) + "Z";

function contradictionOf(at, after, before, slack) {
  const recorded = Date.parse(at.recorded);
  if (after !== null && after - recorded > slack)
    return `Entry ${at.n} says it was recorded ${at.recorded}; the tree that others saw at ${second(after)} does not hold it yet.`;
  if (before !== null && recorded - before > CLOCKS)
    return `Entry ${at.n} says it was recorded ${at.recorded}; others saw it in the tree at ${second(before)} already.`;
  return null;
}

function told(entries, both, some, widest) {
  if (both === entries) return passed(`All ${entries} entries were recorded between two independently timed checkpoints, at most ${span(widest)} apart.`);
  return onHousesWord(`Of ${entries} entries ${both} were recorded between two independently timed checkpoints, ${some} are bounded on one side; `
    + `of ${entries - both - some} time is the house's word only.`);
}

// A span in words, rounded up.
function span(milliseconds) {
  const hours = Math.ceil(milliseconds / 3_600_000);
  return hours <= 1 ? "1 hour" : hours <= 48 ? `${hours} hours` : `${Math.ceil(milliseconds / 86_400_000)} days`;
}
