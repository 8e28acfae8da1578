// Which ledgers are known, and whose cosignatures make a checkpoint count (c2sp.org/tlog-policy). The file's words are the standard's: log,
// witness, group, quorum.
import { Malformed } from "./malformed.js";
import { COSIGNATURE, ED25519, parseKey } from "./notes.js";
import { sameBytes } from "./text.js";

const MOST_LINES = 1_000;
const NONE = "none";

const fail = (sentence) => {
  throw new Malformed("policy", sentence);
};

export function parsePolicy(text) {
  if (/[\u0000-\u0008\u000b-\u001f\u007f]/.test(text)) fail("A policy holds no control characters but tabs and line feeds.");
  const policy = new Policy();
  for (const [i, line] of text.split("\n").entries()) {
    const words = line.split(/[ \t]+/).filter((word) => word.length > 0);
    if (words.length > 0 && !words[0].startsWith("#")) policy.read(words, i + 1);
  }
  return policy.isWhole ? policy : fail("A policy has one quorum line.");
}

class Policy {
  #groups = new Map();
  #members = new Set();
  #quorum = null;
  logs = []; // keys
  cosigners = []; // {name, key}

  get isWhole() {
    return this.#quorum !== null;
  }

  get asksForCosigners() {
    return this.#quorum !== NONE;
  }

  // Whether cosignatures by these keys satisfy the quorum.
  isSatisfiedBy(keys) {
    const signed = new Set(keys.map((k) => k.text));
    const holds = (name) => {
      const group = this.#groups.get(name);
      return group === undefined ? signed.has(this.cosigners.find((c) => c.name === name).key.text)
        : group.members.filter(holds).length >= group.threshold;
    };
    return this.#quorum === NONE || holds(this.#quorum);
  }

  read(words, line) {
    const bad = (why) => fail(`Line ${line} of the policy: ${why}.`);
    if (this.logs.length + this.cosigners.length + this.#groups.size >= MOST_LINES) bad(`more than ${MOST_LINES} definitions`);
    const [kind, ...rest] = words;
    if (kind === "log" && (rest.length === 1 || rest.length === 2)) this.#addLog(rest[0], bad);
    else if (kind === "witness" && (rest.length === 2 || rest.length === 3)) this.#addCosigner(rest[0], rest[1], bad);
    else if (kind === "group" && rest.length >= 3) this.#addGroup(rest[0], rest[1], rest.slice(2), bad);
    else if (kind === "quorum" && rest.length === 1) this.#setQuorum(rest[0], bad);
    else bad("not a line of a policy: log, witness, group or quorum");
  }

  #addLog(vkey, bad) {
    const key = parseKey(vkey);
    if (key.type !== ED25519) bad("a log signs with a key of type 0x01");
    if (this.logs.some((k) => sameBytes(k.key, key.key))) bad("the log's public key stands here twice");
    this.logs.push(key);
  }

  #addCosigner(name, vkey, bad) {
    const key = parseKey(vkey);
    if (key.type !== COSIGNATURE) bad("a witness signs with a key of type 0x04");
    if (this.cosigners.some((c) => sameBytes(c.key.key, key.key))) bad("the witness's public key stands here twice");
    this.#define(name, bad);
    this.cosigners.push({ name, key });
  }

  #addGroup(name, asked, members, bad) {
    this.#define(name, bad);
    for (const member of members) {
      if (!this.#isDefined(member) || member === name) bad(`${member} is not defined on a line before`);
      if (this.#members.has(member)) bad(`${member} is a member of a group already`);
      this.#members.add(member);
    }
    const threshold = asked === "all" ? members.length : asked === "any" ? 1
      : /^[0-9]{1,10}$/.test(asked) ? Number(asked) : bad("a group asks for all, any, or a number");
    if (threshold < 1 || threshold > members.length) bad(`a group of ${members.length} cannot ask for ${threshold}`);
    this.#groups.set(name, { threshold, members });
  }

  #setQuorum(name, bad) {
    if (this.#quorum !== null) bad("a second quorum line");
    if (name !== NONE && !this.#isDefined(name)) bad(`${name} is not defined on a line before`);
    this.#quorum = name;
  }

  #define(name, bad) {
    if (name === NONE || this.#isDefined(name)) bad(`the name ${name} is taken`);
  }

  #isDefined(name) {
    return this.#groups.has(name) || this.cosigners.some((c) => c.name === name);
  }
}
