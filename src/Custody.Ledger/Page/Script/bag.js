// A BagIt 1.0 bag (RFC 8493) in the one folder of an archive, with SHA-256 manifests for payload and tag files. Manifests guard against
// accidents; against malice only signatures do (section 5.4).
import { Malformed } from "./malformed.js";
import { isForBrowser, Sha256, sha256ByBrowser } from "./sha256.js";
import { fromHex, fromUtf8, sameBytes, toHex, toUtf8 } from "./text.js";
import { openZip, readContent, readWhole } from "./zip.js";

const PAYLOAD = "data/";
const DECLARATION = "bagit.txt";
const INFO = "bag-info.txt";
const MANIFEST = "manifest-sha256.txt";
const TAG_MANIFEST = "tagmanifest-sha256.txt";
const MAX_TAG_FILE = 64 << 20;

// Section 2.1.1: exactly these two lines.
const DECLARATION_BYTES = toUtf8("BagIt-Version: 1.0\nTag-File-Character-Encoding: UTF-8\n");

const fail = (code, sentence) => {
  throw new Malformed("bag." + code, sentence);
};

export class Bag {
  #source;
  #files = new Map();
  #measured = new Map();

  // Finds the bag in an archive: everything in one folder, a bagit.txt in it.
  static async in(source) {
    const files = await openZip(source);
    const slash = files[0].name.indexOf("/");
    const folder = slash < 0 ? "" : files[0].name.slice(0, slash);
    if (slash < 0 || files.some((f) => !f.name.startsWith(folder + "/"))) fail("folder", "Not everything in the archive lies in one folder.");
    if (!files.some((f) => f.name === `${folder}/${DECLARATION}`)) fail("declaration", "The folder holds no bagit.txt.");
    const bag = new Bag();
    bag.folder = folder;
    bag.#source = source;
    for (const file of files) bag.#files.set(file.name.slice(folder.length + 1), file);
    return bag;
  }

  has(path) {
    return this.#files.has(path);
  }

  // Paths below the folder, in ordinal order.
  get paths() {
    return [...this.#files.keys()].sort();
  }

  #file(path) {
    return this.#files.get(path) ?? fail("missing-file", `The bag holds no ${path}.`);
  }

  async readAll(path, most) {
    return readWhole(this.#source, this.#file(path), most);
  }

  // {hash, start}: SHA-256 and first bytes. A file is read once, however often it is asked for; a wrong checksum is thrown each time.
  async measure(path) {
    const file = this.#file(path);
    if (!this.#measured.has(path)) this.#measured.set(path, await this.#read(file));
    const measured = this.#measured.get(path);
    if (measured instanceof Malformed) throw measured;
    return measured;
  }

  async #read(file) {
    if (isForBrowser(file.size)) return this.#readAtOnce(file);
    const sha = new Sha256();
    let start = new Uint8Array(0);
    try {
      await readContent(this.#source, file, (piece) => {
        if (start.length === 0) start = piece.slice(0, 4);
        sha.update(piece);
      });
    } catch (fault) {
      if (fault instanceof Malformed) return fault;
      throw fault;
    }
    return { hash: sha.digest(), start };
  }

  async #readAtOnce(file) {
    try {
      const bytes = await readWhole(this.#source, file, file.size);
      return { hash: await sha256ByBrowser(bytes), start: bytes.slice(0, 4) };
    } catch (fault) {
      if (fault instanceof Malformed) return fault;
      throw fault;
    }
  }

  // Labels and values of bag-info.txt in order.
  async info() {
    return readInfo(await this.readAll(INFO, MAX_TAG_FILE));
  }

  // What keeps the bag from being complete and valid (section 3), the first of it: {code, sentence, path}; null when nothing does.
  async fault(progress) {
    return await faultOf(DECLARATION, () => this.#checkDeclaration())
      ?? await faultOf(MANIFEST, () => this.#checkManifest(MANIFEST, isPayload, progress))
      ?? await faultOf(TAG_MANIFEST, () => this.#checkManifest(TAG_MANIFEST, (p) => !isPayload(p) && p !== TAG_MANIFEST, progress))
      ?? await faultOf(INFO, () => this.#checkOxum())
      ?? this.#checkKinds();
  }

  async #checkDeclaration() {
    return sameBytes(await this.readAll(DECLARATION, 1 << 16), DECLARATION_BYTES) ? null
      : fault("declaration", "bagit.txt does not hold exactly the two lines of BagIt 1.0 in UTF-8.", DECLARATION);
  }

  async #checkManifest(manifest, belongs, progress) {
    const listed = readManifest(await this.readAll(manifest, MAX_TAG_FILE));
    const unlisted = this.paths.find((p) => belongs(p) && !listed.has(p));
    if (unlisted !== undefined) return fault("unlisted-file", `${manifest} does not list this file.`, unlisted);
    for (const path of [...listed.keys()].sort()) {
      if (!belongs(path) || !this.has(path)) return fault("missing-file", `${manifest} lists a file that is not there.`, path);
      const wrong = await faultOf(path, () => this.#checkDigest(path, listed.get(path)));
      if (wrong !== null) return wrong;
      await progress();
    }
    return null;
  }

  async #checkDigest(path, digest) {
    const { hash } = await this.measure(path);
    const file = this.#file(path);
    if (file.size === 0 && file.crc !== 0) throw new Malformed("zip.crc", "The checksum of an empty file does not fit.");
    return toHex(hash) === digest ? null : fault("digest", "The file is not the one its manifest describes.", path);
  }

  // Section 2.2.2: octets and number of the payload's files, at most once.
  async #checkOxum() {
    const stated = (await this.info()).filter(([label]) => label.toUpperCase() === "PAYLOAD-OXUM").map(([, value]) => value);
    const payload = [...this.#files].filter(([path]) => isPayload(path));
    const counted = `${payload.reduce((sum, [, file]) => sum + file.size, 0)}.${payload.length}`;
    return stated.length === 1 && stated[0] === counted ? null
      : fault("oxum", `bag-info.txt does not say once that the payload is ${counted}.`, INFO);
  }

  #checkKinds() {
    for (const path of this.paths.filter((p) => !p.includes("/"))) {
      if (path === "fetch.txt") return fault("fetch", "A bag here is whole; nothing is fetched from elsewhere.", path);
      if ((path.startsWith("manifest-") && path !== MANIFEST) || (path.startsWith("tagmanifest-") && path !== TAG_MANIFEST))
        return fault("algorithm", "Only SHA-256 manifests are read here, and what cannot be checked is not let pass.", path);
    }
    return null;
  }
}

const isPayload = (path) => path.startsWith(PAYLOAD);

const fault = (code, sentence, path) => ({ code: "bag." + code, sentence, path });

async function faultOf(path, check) {
  try {
    return await check();
  } catch (refused) {
    if (refused instanceof Malformed) return { code: refused.code, sentence: refused.message, path };
    throw refused;
  }
}

// Lines end in LF, CR or CRLF; empty ones say nothing.
function linesOf(bytes, code) {
  const text = fromUtf8(bytes);
  if (text === null || text.startsWith("\ufeff")) fail(code, "A tag file is not UTF-8 without byte order mark.");
  return text.split(/[\n\r]/).filter((line) => line.length > 0);
}

// Sections 2.1.3 and 2.2.1: digest, white space, path; line ends and the percent sign of a path are encoded. Digests by path.
function readManifest(bytes) {
  const listed = new Map();
  for (const line of linesOf(bytes, "manifest")) {
    const match = /^([^ \t]*)[ \t]+(.+)$/s.exec(line);
    const digest = match === null ? null : fromHex(match[1], 64);
    if (digest === null) fail("manifest", "A manifest line is not a SHA-256 value in hexadecimal and a path.");
    const path = match[2].replace(/%0a/gi, "\n").replace(/%0d/gi, "\r").replaceAll("%25", "%");
    if (listed.has(path)) fail("manifest", `The manifest lists ${match[2]} twice.`);
    listed.set(path, toHex(digest));
  }
  return listed;
}

// Section 2.2.2: labels and values in order, continued lines joined by a space.
function readInfo(bytes) {
  const info = [];
  for (const line of linesOf(bytes, "info")) {
    const isMore = line[0] === " " || line[0] === "\t";
    const match = isMore ? null : /^([^:]+):[ \t](.*)$/s.exec(line);
    if (isMore && info.length > 0) info.at(-1)[1] += " " + line.replace(/^[ \t]+|[ \t]+$/g, "");
    else if (match !== null) info.push([match[1].replace(/[ \t]+$/, ""), match[2]]);
    else fail("info", "A line of bag-info.txt is not a label, a colon, a space and a value.");
  }
  return info;
}
