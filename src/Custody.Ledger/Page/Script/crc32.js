// CRC-32 as ZIP uses it (APPNOTE 4.4.7: polynomial 0xEDB88320 reflected), four bytes at a time.
// TABLE[k * 256 + b] is the effect of byte b followed by k zero bytes.
const TABLE = new Int32Array(4 * 256);
for (let b = 0; b < 256; b++) {
  let crc = b;
  for (let bit = 0; bit < 8; bit++) crc = (crc & 1) === 1 ? (crc >>> 1) ^ 0xedb88320 : crc >>> 1;
  TABLE[b] = crc;
}
for (let i = 256; i < TABLE.length; i++) TABLE[i] = (TABLE[i - 256] >>> 8) ^ TABLE[TABLE[i - 256] & 0xff];

// The checksum of what was summed before and these bytes; begin with 0.
export function crc32(before, bytes) {
  let crc = ~before, i = 0;
  for (; i + 4 <= bytes.length; i += 4)
    crc = TABLE[768 + ((crc ^ bytes[i]) & 0xff)] ^ TABLE[512 + (((crc >>> 8) ^ bytes[i + 1]) & 0xff)]
      ^ TABLE[256 + (((crc >>> 16) ^ bytes[i + 2]) & 0xff)] ^ TABLE[((crc >>> 24) ^ bytes[i + 3]) & 0xff];
  for (; i < bytes.length; i++) crc = (crc >>> 8) ^ TABLE[(crc ^ bytes[i]) & 0xff];
  return ~crc >>> 0;
}
