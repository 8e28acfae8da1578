// The keys of a ledger, one after the other, as its own stream tells them.
import { Malformed } from "./malformed.js";
import { followRotation, parseKey } from "./notes.js";
import { isHash, toUtf8 } from "./text.js";

const fail = (code, sentence) => {
  throw new Malformed(code, sentence);
};

// Follows the keys from the ledger's first entry through every rotation. lines: those of the ledger itself, by place in the log.
export async function followKeys(origin, lines, places) {
  const periods = [];
  let promised = null;
  for (const line of lines) {
    const index = places.of(line);
    const said = (name) => line.fact.values.get(name);
    if (line.form.type === "LedgerOpened") {
      if (index !== 0n || periods.length > 0 || said("origin") !== origin) fail("keys.opened", "The entry that opens the ledger is not its log's first.");
      periods.push({ key: parseKey(said("key")), from: 0n, upTo: null, told: null });
      promised = isHash(said("nextKey")) ? said("nextKey") : fail("hash", "The text or bytes are not one SHA-256 value.");
    } else if (line.form.type === "KeyRotated" || line.form.type === "KeyCompromised") {
      if (periods.length === 0) break;
      const last = periods.at(-1);
      const rotation = await followRotation(toUtf8(said("note")), last.key, promised);
      if (rotation.origin !== origin || rotation.size < last.from || rotation.size > index || rotation.compromised !== (line.form.type === "KeyCompromised"))
        fail("keys.rotation", "A rotation is not one of this ledger at this place.");
      [last.upTo, last.told] = [rotation.size, rotation.compromised ? Date.parse(line.form.recorded) : null];
      periods.push({ key: rotation.key, from: rotation.size, upTo: null, told: null });
      promised = rotation.promised;
    }
  }
  if (periods.length === 0) fail("keys.opened", "The context lacks the entry that opens the ledger and names its key.");
  if (periods[0].key.name !== origin) fail("keys.opened", "The ledger's first key bears another name.");
  return new LedgerKeys(periods);
}

class LedgerKeys {
  #periods;

  constructor(periods) {
    this.#periods = periods;
  }

  get all() {
    return this.#periods.map((p) => p.key);
  }

  // The keys whose word counts for a tree of this size: one, or two at the very size of a rotation. A compromised key counts only for what
  // somebody else saw before the compromise was told; seen is that time in milliseconds, null when nobody did.
  inForceAt(size, seen = null) {
    return this.#periods
      .filter((p) => size >= p.from && (p.upTo === null || size <= p.upTo) && (p.told === null || (seen !== null && seen < p.told)))
      .map((p) => p.key);
  }

  #place(key) {
    return this.#periods.findIndex((p) => p.key.text === key.text);
  }

  knows(key) {
    return this.#place(key) >= 0;
  }

  // Whether somebody who trusts one of these keys may trust the other. Only a rotation signed by both keys carries trust: a compromise,
  // signed by the promised key alone, carries none.
  connects(a, b) {
    const [i, j] = [this.#place(a), this.#place(b)].sort((x, y) => x - y);
    return i >= 0 && !this.#periods.slice(i, j).some((p) => p.told !== null);
  }
}
