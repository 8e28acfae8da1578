// 128 bits as 26 characters of Crockford's Base32: bits from the left in groups of five, two zero bits appended.
const ALPHABET = "0123456789ABCDEFGHJKMNPQRSTVWXYZ";
const LENGTH = 26;

export function writeCrockford(bytes) {
  let text = "";
  for (let i = 0; i < LENGTH; i++) {
    const at = Math.floor(i * 5 / 8);
    const pair = (bytes[at] << 8) | (bytes[at + 1] ?? 0);
    text += ALPHABET[(pair >> (11 - i * 5 % 8)) & 31];
  }
  return text;
}

// The 16 bytes a person typed or a camera read: lower case, I and L for 1, O for 0 and hyphens anywhere are taken; otherwise null.
export function readCrockford(text) {
  const plain = text.replaceAll("-", "").replace(/[a-z]/g, (c) => c.toUpperCase()).replace(/[IL]/g, "1").replaceAll("O", "0");
  if (plain.length !== LENGTH || [...plain].some((c) => !ALPHABET.includes(c))) return null;
  const bytes = new Uint8Array(16);
  let bits = 0, held = 0, at = 0;
  for (const c of plain) {
    bits = ((bits << 5) | ALPHABET.indexOf(c)) & 0xffff;
    held += 5;
    if (held < 8) continue;
    held -= 8;
    bytes[at++] = (bits >> held) & 0xff;
  }
  return (bits & 3) === 0 ? bytes : null;
}
