// CRC-32 as ZIP uses it (APPNOTE 4.4.7: polynomial 0xEDB88320 reflected).
const TABLE = Int32Array.from({ length: 256 }, (_, b) => {
  let crc = b;
  for (let bit = 0; bit < 8; bit++) crc = (crc & 1) === 1 ? (crc >>> 1) ^ 0xedb88320 : crc >>> 1;
  return crc;
});

// The checksum of what was summed before and these bytes; begin with 0.
export function crc32(before, bytes) {
  let crc = ~before;
  for (let i = 0; i < bytes.length; i++) crc = (crc >>> 8) ^ TABLE[(crc ^ bytes[i]) & 0xff];
  return ~crc >>> 0;
}
