// One ledger's part of a dossier, read as far as it can be: lines of entries, signed notes, places in the log.
import { openEntry, readForm, UNKNOWN_TYPE } from "./entries.js";
import { ENTRY_LIMITS, isCount, isObject, isText, parseCanonical } from "./json.js";
import { followKeys } from "./keys.js";
import { Malformed } from "./malformed.js";
import { parseNote, readCheckpoint, readHead } from "./notes.js";
import { findPlaces } from "./places.js";
import { indexOfBytes, isHash, toUtf8 } from "./text.js";
import { readReference } from "./values.js";

const MOST_LINES = 200_000;
const GONE = toUtf8('{"gone":');

// {number, n, hash, form, fact, gone, fault}: what the line tells, null where it does not. A form without fact and fault is of a type unknown here.
function readLine(number, bytes) {
  const line = { number, n: null, hash: null, form: null, fact: null, gone: null, fault: null };
  try {
    if (indexOfBytes(bytes.subarray(0, GONE.length), GONE) === 0) line.gone = readGone(bytes);
    else line.form = readForm(bytes);
    [line.n, line.hash] = [(line.form ?? line.gone).n, (line.form ?? line.gone).hash];
    if (line.form !== null) line.fact = openEntry(line.form);
  } catch (fault) {
    if (!(fault instanceof Malformed)) throw fault;
    if (fault.code !== UNKNOWN_TYPE) line.fault = fault;
  }
  return line;
}

export const isUnknownType = (line) => line.form !== null && line.fact === null && line.fault === null;

// A place whose entry was lost, or lawfully removed: its hash stays, so the chain and the log still hold.
function readGone(bytes) {
  const json = parseCanonical(bytes, ENTRY_LIMITS);
  const gone = isObject(json) && json.size === 1 ? json.get("gone") : null;
  if (isObject(gone) && gone.size === 3 && isCount(gone.get("n")) && isText(gone.get("hash")) && isHash(gone.get("hash")) && gone.has("why"))
    return { n: gone.get("n"), hash: gone.get("hash"), why: readReference(gone.get("why"), "/gone/why") };
  throw new Malformed("entry.gone", "A line for an entry that is gone holds its n, its hash and why.");
}

// The lines of a file, each ended by one line feed; {lines, fault}.
export async function readLines(file, pause) {
  const lines = [];
  for (let at = 0; at < file.length;) {
    const end = file.indexOf(10, at);
    if (end < 0) {
      lines.push(readLine(lines.length + 1, file.subarray(at)));
      return { lines, fault: "The last line does not end in a line feed." };
    }
    if (lines.length === MOST_LINES) return { lines, fault: `The file has more than ${MOST_LINES} lines.` };
    lines.push(readLine(lines.length + 1, file.subarray(at, end)));
    at = end + 1;
    await pause();
  }
  return { lines, fault: null };
}

function readNote(bytes, read) {
  if (bytes === null) return { value: null, note: null, fault: "it is missing" };
  try {
    const note = parseNote(bytes);
    return { value: read(note), note, fault: null };
  } catch (fault) {
    if (!(fault instanceof Malformed)) throw fault;
    return { value: null, note: null, fault: fault.message };
  }
}

// What the checks look at.
export async function readHistory(part, signatures, pause) {
  const history = await readLines(part.history ?? new Uint8Array(0), pause);
  const context = await readLines(part.context ?? new Uint8Array(0), pause);
  const [checkpoint, head] = [readNote(part.checkpoint, readCheckpoint), readNote(part.head, readHead)];
  const readable = history.lines.filter((l) => l.form !== null);
  const reading = {
    history, context, lines: [...history.lines, ...context.lines], checkpoint, head, timeline: part.timeline,
    first: readable[0]?.form ?? null, last: readable.at(-1)?.form ?? null,
    origin: checkpoint.value?.origin ?? readable[0]?.form.ledger ?? "unnamed ledger",
  };
  reading.places = checkpoint.value === null ? null : await findPlaces(checkpoint.value, part.checkpoint, part.proofs, history.lines, context.lines, pause);
  reading.keys = signatures ? await keysOf(reading) : { value: null, fault: null };
  return reading;
}

async function keysOf(reading) {
  const own = reading.context.lines.filter((l) => l.fact !== null && reading.places?.of(l) !== undefined && l.form.ledger === reading.origin);
  own.sort((a, b) => (reading.places.of(a) < reading.places.of(b) ? -1 : 1));
  try {
    return { value: await followKeys(reading.origin, own, reading.places), fault: null };
  } catch (fault) {
    if (!(fault instanceof Malformed)) throw fault;
    return { value: null, fault: fault.message };
  }
}
