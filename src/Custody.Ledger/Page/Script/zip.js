// Reads where a ZIP archive says its files are (APPNOTE 6.3, sections in brackets), and believes only what leaves no room for a second
// reading: one end record at the very end, a directory right before it, files one after the other from the first byte to the directory,
// each described alike in both places, none compressed.
import { crc32 } from "./crc32.js";
import { Malformed } from "./malformed.js";
import { fromUtf8, indexOfBytes, sameBytes, toHex } from "./text.js";

const LOCAL = "504b0304"; // 4.3.7
const CENTRAL = "504b0102"; // 4.3.12
const END = "504b0506"; // 4.3.16
const END64 = "504b0606"; // 4.3.14
const LOCATOR64 = "504b0607"; // 4.3.15
const LOCAL_SIZE = 30, CENTRAL_SIZE = 46, END_SIZE = 22, END64_SIZE = 56, LOCATOR64_SIZE = 20;
const UTF8_NAMES = 1 << 11; // 4.4.4 bit 11
const NEEDS_ZIP64 = 45; // 4.4.3
const FULL16 = 0xffff, FULL32 = 0xffffffff;

// Files, bytes of all together, parts of one name, bytes of one name.
const MAX_FILES = 100_000, MAX_BYTES = 8 * 2 ** 30, MAX_DEPTH = 8, MAX_NAME = 512;

const fail = (code, sentence) => {
  throw new Malformed("zip." + code, sentence);
};

const view = (bytes) => new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
const u16 = (bytes, at) => view(bytes).getUint16(at, true);
const u32 = (bytes, at) => view(bytes).getUint32(at, true);
// Signed, as the command reads it; beyond 2^53 it is inexact and refused for its size.
const u64 = (bytes, at) => Number(view(bytes).getBigInt64(at, true));
const begins = (bytes, signature, at = 0) => toHex(bytes.subarray(at, at + 4)) === signature;

// A file that is read in pieces: {size, read(at, count)}. Neighbouring small pieces come from one larger one.
export function sourceOf(blob) {
  const STRETCH = 1 << 22;
  let held = new Uint8Array(0), from = 0;
  const slice = async (at, count) => new Uint8Array(await blob.slice(at, at + count).arrayBuffer());
  return {
    size: blob.size,
    async read(at, count) {
      if (count > STRETCH) return slice(at, count);
      if (at < from || at + count > from + held.length) {
        held = await slice(at, STRETCH);
        from = at;
      }
      return held.subarray(at - from, at - from + count);
    },
  };
}

async function exactly(source, at, count) {
  const bytes = await source.read(at, count);
  return bytes.length === count ? bytes : fail("truncated", "The archive ends too early.");
}

// The files in the order in which they lie: {name, size, crc, at}.
export async function openZip(source) {
  const end = await readEnd(source);
  const centrals = readDirectory(await exactly(source, end.start, end.size), end);
  const files = [];
  let expected = 0;
  for (const central of [...centrals].sort((a, b) => a.header - b.header)) {
    const file = await readLocal(source, central, expected, end.start);
    files.push(file);
    expected = file.at + file.size;
  }
  if (expected < end.start) fail("gap", "Bytes lie between the files and the directory.");
  return files;
}

async function record(source, at, count) {
  return at < 0 ? null : exactly(source, at, count);
}

// The end record is the last 22 bytes. The number of files is judged here, before the directory costs anything.
async function readEnd(source) {
  const at = source.size - END_SIZE;
  const end = await record(source, at, END_SIZE);
  if (end === null || !begins(end, END) || u16(end, 20) !== 0) return notAtEnd(source);
  if (u16(end, 4) !== 0 || u16(end, 6) !== 0 || u16(end, 8) !== u16(end, 10)) fail("multi-disk", "The archive is spread over several disks.");
  const small = { count: u16(end, 10), size: u32(end, 12), start: u32(end, 16), at };
  return judge(small.count === FULL16 || small.size === FULL32 || small.start === FULL32 ? await readEnd64(source, small) : small);
}

async function notAtEnd(source) {
  // Only to say it better: an end record further up means something was added, none at all that the end is missing.
  const tail = Math.min(source.size, 1 << 16);
  const bytes = await exactly(source, source.size - tail, tail);
  return indexOfBytes(bytes, [0x50, 0x4b, 5, 6]) >= 0
    ? fail("trailing-bytes", "Bytes or a comment follow the archive.")
    : fail("no-end", "This is not a ZIP archive, or its end is missing.");
}

// 4.3.14 and 4.3.15: locator right before the end record, ZIP64 record right before the locator.
async function readEnd64(source, small) {
  const at = small.at - LOCATOR64_SIZE - END64_SIZE;
  const bytes = await record(source, at, END64_SIZE + LOCATOR64_SIZE);
  if (bytes === null || !begins(bytes, END64) || u64(bytes, 4) !== END64_SIZE - 12
    || !begins(bytes, LOCATOR64, 56) || u32(bytes, 60) !== 0 || u64(bytes, 64) !== at || u32(bytes, 72) !== 1)
    fail("zip64", "The ZIP64 end record is missing or not where it must be.");
  if (u32(bytes, 16) !== 0 || u32(bytes, 20) !== 0 || u64(bytes, 24) !== u64(bytes, 32)) fail("multi-disk", "The archive is spread over several disks.");
  const large = { count: u64(bytes, 32), size: u64(bytes, 40), start: u64(bytes, 48), at };
  // A small field is all ones exactly when the value does not fit it, otherwise it is the value.
  const fits = (few, value, full) => few === full ? value >= full : few === value;
  if (!fits(small.count, large.count, FULL16) || !fits(small.size, large.size, FULL32) || !fits(small.start, large.start, FULL32))
    fail("zip64", "The two end records disagree.");
  return large;
}

function judge(end) {
  if (end.count < 0 || end.size < 0 || end.start < 0) fail("directory", "The end record holds negative numbers.");
  if (end.count > MAX_FILES) fail("too-many-entries", `The archive holds more than ${MAX_FILES} files.`);
  if (end.count === 0) fail("empty", "The archive holds no file.");
  if (end.size > end.count * (CENTRAL_SIZE + MAX_NAME + 28)) fail("directory-too-large", "The directory is larger than its files' names can make it.");
  if (end.start > end.at || end.size !== end.at - end.start)
    fail("directory-place", "The directory does not lie right before the end record, or bytes were put in front.");
  return end;
}

function readDirectory(bytes, end) {
  let at = 0, total = 0;
  const take = (count) => {
    if (at + count > bytes.length) fail("truncated", "The archive ends too early.");
    return bytes.subarray(at, at += count);
  };
  const names = new Names();
  const centrals = [];
  for (let i = 0; i < end.count; i++) {
    const central = readCentral(take);
    names.add(central.name);
    total += central.size;
    if (total > MAX_BYTES) fail("too-large", `The files together have more than ${MAX_BYTES} bytes.`);
    centrals.push(central);
  }
  if (at < bytes.length) fail("directory", "The directory holds more than the files it counts.");
  names.checkFolders();
  return centrals;
}

function readCentral(take) {
  const header = take(CENTRAL_SIZE);
  if (!begins(header, CENTRAL)) fail("directory", "The directory holds something that is no file.");
  checkKind(header);
  const nameLength = u16(header, 28);
  if (nameLength > MAX_NAME) fail("name", `A file name has more than ${MAX_NAME} bytes.`);
  if (u16(header, 32) !== 0) fail("comment", "A file carries a comment.");
  if (u16(header, 34) !== 0) fail("multi-disk", "A file lies on another disk.");
  const nameBytes = take(nameLength);
  const extra = take(u16(header, 30));
  const [size, compressed, offset] = resolve64(extra, [u32(header, 24), u32(header, 20), u32(header, 42)]);
  if (size !== compressed || size < 0 || offset < 0) fail("sizes", "A stored file has two different sizes.");
  return {
    name: nameOf(nameBytes, (u16(header, 8) & UTF8_NAMES) !== 0), nameBytes, size, crc: u32(header, 16), header: offset,
    common: header.subarray(6, 30), // version, flags, method, time, checksum, sizes, name length: said alike in both places
  };
}

function checkKind(header) {
  const flags = u16(header, 8);
  if ((flags & 0x2041) !== 0) fail("encrypted", "A file or the directory is encrypted."); // 4.4.4 bits 0, 6, 13
  if ((flags & 0x0008) !== 0) fail("data-descriptor", "A file's sizes follow it instead of standing before it.");
  if ((flags & ~UTF8_NAMES) !== 0) fail("flags", "A file has flags that mean nothing for a stored file.");
  if (u16(header, 10) !== 0) fail("compressed", "A file is compressed; bags here are stored."); // 4.4.5
  if (u16(header, 6) > NEEDS_ZIP64) fail("version", "A file needs a later version of the format.");
  const attributes = u32(header, 38);
  const kind = attributes >>> 28; // upper half: UNIX mode; its upper four bits: the kind of file
  if (kind === 0xa || (attributes & 0x400) !== 0) fail("link", "The archive holds a link.");
  if (kind === 0x4 || (attributes & 0x10) !== 0) fail("folder", "The archive holds an entry for a folder.");
  if (kind !== 0 && kind !== 0x8) fail("special", "The archive holds something that is no regular file.");
}

function nameOf(bytes, isUtf8) {
  const text = fromUtf8(bytes);
  return text === null || (!isUtf8 && bytes.some((b) => b > 127))
    ? fail("name-encoding", "A file name is not said to be UTF-8, or is not.")
    : text;
}

// 4.5.3: the ZIP64 field, the only extra field a bag's archive may hold, with exactly the values that are all ones in the header.
function resolve64(extra, values) {
  const bad = () => fail("extra", "A file carries an extra field other than the ZIP64 sizes it needs.");
  if (extra.length > 0 && (extra.length < 12 || u16(extra, 0) !== 1 || u16(extra, 2) !== extra.length - 4)) bad();
  let at = extra.length === 0 ? 0 : 4;
  const resolved = values.map((value) => {
    if (value !== FULL32) return value;
    if (at + 8 > extra.length) bad();
    const large = u64(extra, at);
    at += 8;
    return large >= FULL32 ? large : bad();
  });
  return at === extra.length ? resolved : bad();
}

async function readLocal(source, central, expected, directory) {
  const at = central.header;
  const beyond = () => fail("overlap", `The file ${central.name} reaches into the directory.`);
  if (at < expected) fail("overlap", `The file ${central.name} begins inside another.`);
  if (at > expected) {
    if (expected === 0) fail("leading-bytes", "Bytes lie before the first file.");
    fail("gap", "Bytes lie between two files.");
  }
  if (directory - at < LOCAL_SIZE + central.nameBytes.length) beyond();
  const header = await exactly(source, at, LOCAL_SIZE);
  if (!begins(header, LOCAL)) fail("local-header", "No file begins where the directory says.");
  const [nameLength, extraLength] = [u16(header, 26), u16(header, 28)];
  if (!sameBytes(await exactly(source, at + LOCAL_SIZE, Math.min(nameLength, MAX_NAME)), central.nameBytes))
    fail("local-name", `The file ${central.name} is called otherwise where it lies.`);
  if (!sameBytes(header.subarray(4, 28), central.common)) fail("local-differs", `The file ${central.name} is described otherwise where it lies.`);
  const content = at + LOCAL_SIZE + nameLength + extraLength;
  if (content > directory || central.size > directory - content) beyond();
  // Both headers' 32-bit fields are equal by now; where they say "see ZIP64", the local field must say the same again.
  const [size, compressed] = resolve64(await exactly(source, content - extraLength, extraLength), [u32(header, 22), u32(header, 18)]);
  if (size !== central.size || compressed !== size) fail("local-differs", `The file ${central.name} has another size where it lies.`);
  return { name: central.name, size: central.size, crc: central.crc, at: content };
}

// Relative names with slashes, such that no two become one file on any usual file system and none leaves the folder it is unpacked into
// (RFC 8493 section 5.1).
class Names {
  #exact = new Set();
  #files = new Set();
  #folders = new Set();

  add(name) {
    checkName(name);
    if (this.#exact.has(name)) fail("duplicate-name", `The name ${name} occurs twice.`);
    this.#exact.add(name);
    const folded = name.normalize("NFC").toLowerCase().toUpperCase();
    if (this.#files.has(folded)) fail("twin-name", `The name ${name} differs from another only in case or composition.`);
    this.#files.add(folded);
    for (let at = folded.indexOf("/"); at >= 0; at = folded.indexOf("/", at + 1)) this.#folders.add(folded.slice(0, at));
  }

  checkFolders() {
    for (const folder of this.#folders) if (this.#files.has(folder)) fail("file-and-folder", "A name is both a file and a folder.");
  }
}

function checkName(name) {
  if (name.length === 0) fail("name", "A file has no name.");
  if (name.includes("\\")) fail("backslash", "A file name holds a backslash.");
  if (name[0] === "/" || name[1] === ":") fail("absolute", "A file name is absolute.");
  if (name.endsWith("/")) fail("folder", "The archive holds an entry for a folder.");
  const parts = name.split("/");
  if (parts.length > MAX_DEPTH) fail("too-deep", `A file lies more than ${MAX_DEPTH} names deep.`);
  if (parts.some((p) => p === ".." || p === ".")) fail("dot-segment", "A file name holds the part . or ..");
  // What Windows drops or reserves; controls; what is no character at all, on which normalisation itself would fail.
  if (parts.some((p) => p.length === 0 || p.endsWith(".") || p.endsWith(" ") || /[\u0000-\u001f\u007f-\u009f:\ufffd-\uffff]/.test(p)))
    fail("name", "A file name holds an empty part, a control character, a colon, or a part ending in a dot or space.");
}

// Passes a file's bytes on piece by piece; at its end the checksum must fit.
export async function readContent(source, file, piece) {
  const STEP = 1 << 20;
  let crc = 0;
  for (let done = 0; done < file.size; done += STEP) {
    const bytes = await exactly(source, file.at + done, Math.min(STEP, file.size - done));
    crc = crc32(crc, bytes);
    await piece(bytes);
  }
  if (file.size > 0 && crc !== file.crc) fail("crc", `The checksum of ${file.name} does not fit its content.`);
}

// A whole file in memory.
export async function readWhole(source, file, most) {
  if (file.size > most) fail("file-too-large", `The file ${file.name} has more than ${most} bytes.`);
  const bytes = new Uint8Array(file.size);
  let at = 0;
  await readContent(source, file, (piece) => {
    bytes.set(piece, at);
    at += piece.length;
  });
  if (file.size === 0 && file.crc !== 0) fail("crc", `The checksum of ${file.name} does not fit its content.`);
  return bytes;
}
