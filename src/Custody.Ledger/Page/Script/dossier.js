// Reads a dossier from its file: believes nothing, holds only the text files in memory, takes pictures piece by piece.
import { Bag } from "./bag.js";
import { Malformed } from "./malformed.js";
import { toBase64Url, toHex } from "./text.js";

export const HISTORY = "history.jsonl";
export const CONTEXT = "context.jsonl";
const MAIN = "data/";
const FIXED = ["data/disclosures.json", "data/summary.json", "data/history.html", "READ-ME.txt"];
const OF_THE_BAG = ["bagit.txt", "bag-info.txt", "manifest-sha256.txt", "tagmanifest-sha256.txt"];
const OF_EVERY_LEDGER = [HISTORY, CONTEXT, "checkpoint", "head"];

// Entries are at most 64 KiB; a history of this many megabytes is longer than any bat's. Proofs and notes are a few kilobytes.
const MAX_TEXT_FILE = 128 << 20;
const MAX_NOTE = 1 << 20;

const PART = new RegExp("^data/(earlier/[A-Za-z0-9._%+~-]{1,255}/)?(history\\.jsonl|context\\.jsonl|checkpoint|head|proofs/(0|[1-9][0-9]{0,17})\\.tlog-proof"
  + "|timeline/(0|[1-9][0-9]{0,17})\\.(checkpoint|consistency|tsr))$|^data/photographs/[0-9a-f]{64}\\.jpg$|^data/documents/[0-9a-f]{64}\\.[a-z0-9]{1,8}$");
const EARLIER = /^data\/earlier\/[^/]+\//;
const PROOF = /^(0|[1-9][0-9]{0,17})\.tlog-proof$/;

const allows = (path) => FIXED.includes(path) || OF_THE_BAG.includes(path) || PART.test(path);

export const photographPath = (hash) => `data/photographs/${toHex(hash)}.jpg`;

export const isDocumentOf = (path, hash) => path.startsWith(`data/documents/${toHex(hash)}.`);

// The bat's own folder first, then those of earlier ledgers.
const foldersOf = (paths) => [MAIN, ...[...new Set(paths.map((p) => EARLIER.exec(p)?.[0]).filter((f) => f !== undefined))].sort()];

// Why a file is no dossier at all, in a sentence; null when it is one, whatever its state: a damaged archive counts as a damaged dossier,
// and its checks say what is wrong with it.
export async function whyNotOne(source) {
  const start = await source.read(0, Math.min(4, source.size));
  if (toHex(start) !== "504b0304") return "This is not a ZIP archive.";
  try {
    return (await Bag.in(source)).has(MAIN + HISTORY) ? null : "This is a bag without the history of a bat.";
  } catch (fault) {
    if (!(fault instanceof Malformed)) throw fault;
    return fault.code.startsWith("bag.") ? "This is a ZIP archive without a bag in it." : null;
  }
}

// {bagFault, parts, disclosures, photographs, documents}; no parts when it could not be opened.
export async function readDossier(source, progress) {
  try {
    return await readBag(await Bag.in(source), progress);
  } catch (fault) {
    if (!(fault instanceof Malformed)) throw fault;
    return { bagFault: `${fault.message} (${fault.code})`, parts: [], disclosures: null, photographs: [], documents: [] };
  }
}

async function readBag(bag, progress) {
  const paths = bag.paths;
  const parts = [];
  for (const folder of foldersOf(paths)) parts.push(await readPart(bag, paths, folder));
  return {
    bagFault: await faultOf(bag, paths, progress), parts, disclosures: await bytesOf(bag, FIXED[0]),
    photographs: await attached(bag, paths, "data/photographs/"), documents: await attached(bag, paths, "data/documents/"),
  };
}

async function faultOf(bag, paths, progress) {
  const fault = await bag.fault(progress);
  if (fault !== null) return `${fault.sentence} (${fault.path}, ${fault.code})`;
  const stranger = paths.find((p) => !allows(p));
  if (stranger !== undefined) return `The file ${stranger} has no place in a dossier.`;
  const needed = [...FIXED, ...foldersOf(paths).flatMap((folder) => OF_EVERY_LEDGER.map((name) => folder + name))];
  const missing = needed.find((p) => !bag.has(p));
  return missing === undefined ? null : `The file ${missing} is missing.`;
}

async function readPart(bag, paths, folder) {
  const proofs = [];
  for (const path of paths.filter((p) => p.startsWith(folder + "proofs/"))) {
    const index = PROOF.exec(path.slice(folder.length + 7));
    if (index !== null) proofs.push({ index: BigInt(index[1]), bytes: await bytesOf(bag, path, MAX_NOTE) ?? new Uint8Array(0) });
  }
  return {
    proofs: proofs.sort((a, b) => (a.index < b.index ? -1 : 1)),
    history: await bytesOf(bag, folder + HISTORY), context: await bytesOf(bag, folder + CONTEXT),
    checkpoint: await bytesOf(bag, folder + "checkpoint", MAX_NOTE), head: await bytesOf(bag, folder + "head", MAX_NOTE),
    timeline: await timelineOf(bag, paths, folder + "timeline/"),
  };
}

async function timelineOf(bag, paths, folder) {
  const files = [];
  for (const path of paths.filter((p) => p.startsWith(folder) && allows(p)))
    files.push({ name: path.slice(folder.length), bytes: await bytesOf(bag, path, MAX_NOTE) ?? new Uint8Array(0) });
  return files;
}

// The bytes; null when there is no such file, or when it cannot be read: the bag's own check says so then.
async function bytesOf(bag, path, most = MAX_TEXT_FILE) {
  if (!bag.has(path)) return null;
  try {
    return await bag.readAll(path, most);
  } catch (fault) {
    if (fault instanceof Malformed) return null;
    throw fault;
  }
}

async function attached(bag, paths, folder) {
  const found = [];
  for (const path of paths.filter((p) => p.startsWith(folder) && allows(p))) {
    try {
      const { hash, start } = await bag.measure(path);
      found.push({ path, hash, name: toBase64Url(hash), isJpeg: toHex(start).startsWith("ffd8ff") });
    } catch (fault) {
      if (!(fault instanceof Malformed)) throw fault; // a wrong checksum; the bag's own check names it
    }
  }
  return found;
}
