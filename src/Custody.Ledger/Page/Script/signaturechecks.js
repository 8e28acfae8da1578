// Checks 5 and 6: what the ledger signed.
import { owns, verifyNote } from "./notes.js";
import { failed, notChecked, onHousesWord, passed } from "./outcomes.js";
import { sameBytes } from "./text.js";

const MILLISECONDS_OF_A_DAY = 86_400_000;

// Check 5: the checkpoint is signed by the key in force, and that key is the one the reader expects or follows from it.
// expected: keys the reader got elsewhere. policy: on cosigners, or null. stranger: a key given that is of no ledger in this dossier.
// unable: why nothing can be verified here, or null.
export async function checkpoint(reading, { expected, policy, stranger, unable }) {
  const { value, note } = reading.checkpoint;
  if (value === null) return failed(`The checkpoint cannot be read: ${reading.checkpoint.fault}`);
  if (unable !== null) return notChecked(`${unable} Use the command, or another browser.`);
  const keys = reading.keys.value;
  if (keys === null) return keysUnknown(reading);
  const verdict = await verifyNote(note, keys.inForceAt(value.size));
  if (verdict.sentence !== null) return failed(`The checkpoint is not signed by the key that signed for ${reading.origin} at that size. ${verdict.sentence}`);
  const signer = verdict.keys[0];
  if (policy?.asksForCosigners && !policy.isSatisfiedBy(await cosignersOf(note, policy))) return failed("The checkpoint is not cosigned as your policy asks.");
  const cosigned = cosignedWords(note, keys, policy);
  const ours = expected.filter((k) => k.name === reading.origin);
  if (ours.length === 0) {
    return stranger !== null
      ? failed(`The key given is one of ${stranger.name}; this history is kept by ${reading.origin} and signed by ${signer.text}.`)
      : onHousesWord(`Signed by ${signer.text}. Nobody vouched for this key: compare it with one you got elsewhere (--key).${cosigned}`);
  }
  const trusted = ours.find((k) => keys.connects(k, signer));
  if (trusted !== undefined)
    return passed((trusted.text === signer.text ? "Signed by the key you gave." : "Signed by a key that follows from the one you gave by rotation.") + cosigned);
  return failed(ours.some((k) => keys.knows(k))
    ? "The key you gave and the one that signed are parted by a compromise: get the ledger's present key from its keeper."
    : `Signed, but not by the key you gave: by ${signer.text}.`);
}

async function cosignersOf(note, policy) {
  const found = [];
  for (const { key } of policy.cosigners) if ((await verifyNote(note, [key])).sentence === null) found.push(key);
  return found;
}

function cosignedWords(note, keys, policy) {
  if (policy?.asksForCosigners) return " Cosigned as your policy asks.";
  const others = note.signatures.filter((s) => !keys.all.some((k) => owns(k, s))).length;
  return others === 0 ? "" : ` ${others} more signatures were not checked: no policy on cosigners was given (--policy).`;
}

function keysUnknown(reading) {
  return reading.context.lines.some((l) => l.fault !== null) || reading.places?.faults.length > 0
    ? notChecked(`The ledger's keys could not be followed, see checks 2 and 4. ${reading.keys.fault}`)
    : failed(`The ledger's keys cannot be followed: ${reading.keys.fault}`);
}

// Check 6: the head names the last entry of this history at this checkpoint. That nothing came later is the house's word.
export async function head(reading, now, unable) {
  const { value, note } = reading.head;
  if (value === null) return failed(`The head cannot be read: ${reading.head.fault}`);
  if (reading.checkpoint.value === null) return notChecked("There is no checkpoint to compare it with; see check 5.");
  const keys = reading.keys.value;
  if (keys === null && unable === null) return notChecked(`The ledger's key is not known. ${reading.keys.fault}`);
  const last = reading.history.lines.at(-1);
  if (reading.first === null || last.hash === null) return notChecked("The last entry cannot be read; see check 2.");
  const mismatch = mismatchOf(reading, value, last);
  if (mismatch !== null) return failed(mismatch);
  if (unable !== null) return notChecked(`The head names the last entry here; whether the ledger signed it cannot be seen. ${unable}`);
  const verdict = await verifyNote(note, keys.inForceAt(reading.checkpoint.value.size));
  if (verdict.sentence !== null) return failed(`The head is not signed by the ledger's key. ${verdict.sentence}`);
  return onHousesWord(`Entry ${last.n} is the last one, ${asOf(value.time, now)}. Anything later is unknown: ask online.`);
}

function mismatchOf(reading, value, last) {
  const under = reading.checkpoint.value;
  if (value.origin !== reading.origin || value.stream !== reading.first.stream) return `The head is that of ${value.stream} in ${value.origin}.`;
  if (value.n !== BigInt(last.n) || value.entry !== last.hash)
    return `The head names entry ${value.n} as the last, the history ends with entry ${last.n}: it is cut short, or another.`;
  if (value.size !== under.size || !sameBytes(value.root, under.root)) return "The head was given for another checkpoint.";
  return value.time < reading.last.recorded ? "The head is older than the last entry it names." : null;
}

// Whole days since the head was given, by the reader's clock.
export const daysOld = (time, now) => Math.floor((now - Date.parse(time)) / MILLISECONDS_OF_A_DAY);

// Until when the dossier is complete, in words.
export function asOf(time, now) {
  const days = daysOld(time, now);
  const ago = days < 0 ? "which lies in the future of this machine's clock" : days === 0 ? "less than a day ago" : days === 1 ? "1 day ago" : `${days} days ago`;
  return `complete as of ${time}, ${ago}`;
}
