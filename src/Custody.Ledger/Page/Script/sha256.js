// SHA-256 (FIPS 180-4). The browser's own digest wants a whole file in memory at once and answers later; this one takes a file piece by
// piece and answers at once: for thousands of small hashes, for files of any size, and where the browser keeps its cryptography back.
const primes = [];
for (let n = 2; primes.length < 64; n++) if (primes.every((p) => n % p !== 0)) primes.push(n);

// Sections 4.2.2 and 5.3.3: the first 32 bits of the fractional parts of the cube and square roots of the first primes.
const fraction = (root) => ((root % 1) * 2 ** 32) | 0;
const K = Int32Array.from(primes, (p) => fraction(Math.cbrt(p)));
const INITIAL = Int32Array.from(primes.slice(0, 8), (p) => fraction(Math.sqrt(p)));
const W = new Int32Array(64);

// Section 6.2.2: one block of 64 bytes.
function compress(state, bytes, at) {
  for (let t = 0; t < 16; t++, at += 4) W[t] = (bytes[at] << 24) | (bytes[at + 1] << 16) | (bytes[at + 2] << 8) | bytes[at + 3];
  for (let t = 16; t < 64; t++) {
    const x = W[t - 15], y = W[t - 2];
    const s0 = ((x >>> 7) | (x << 25)) ^ ((x >>> 18) | (x << 14)) ^ (x >>> 3);
    const s1 = ((y >>> 17) | (y << 15)) ^ ((y >>> 19) | (y << 13)) ^ (y >>> 10);
    W[t] = (W[t - 16] + s0 + W[t - 7] + s1) | 0;
  }
  // Taken one by one: taken apart as a list this is three times slower.
  let a = state[0], b = state[1], c = state[2], d = state[3], e = state[4], f = state[5], g = state[6], h = state[7];
  for (let t = 0; t < 64; t++) {
    const S1 = ((e >>> 6) | (e << 26)) ^ ((e >>> 11) | (e << 21)) ^ ((e >>> 25) | (e << 7));
    const T1 = (h + S1 + ((e & f) ^ (~e & g)) + K[t] + W[t]) | 0;
    const S0 = ((a >>> 2) | (a << 30)) ^ ((a >>> 13) | (a << 19)) ^ ((a >>> 22) | (a << 10));
    const T2 = (S0 + ((a & b) ^ (a & c) ^ (b & c))) | 0;
    h = g; g = f; f = e; e = (d + T1) | 0; d = c; c = b; b = a; a = (T1 + T2) | 0;
  }
  state[0] += a; state[1] += b; state[2] += c; state[3] += d; state[4] += e; state[5] += f; state[6] += g; state[7] += h;
}

export class Sha256 {
  #state = Int32Array.from(INITIAL);
  #block = new Uint8Array(64);
  #filled = 0;
  #length = 0;

  update(bytes) {
    this.#length += bytes.length;
    let at = 0;
    if (this.#filled > 0) {
      at = Math.min(64 - this.#filled, bytes.length);
      this.#block.set(bytes.subarray(0, at), this.#filled);
      this.#filled += at;
      if (this.#filled < 64) return this;
      compress(this.#state, this.#block, 0);
    }
    for (; at + 64 <= bytes.length; at += 64) compress(this.#state, bytes, at);
    this.#block.set(bytes.subarray(at));
    this.#filled = bytes.length - at;
    return this;
  }

  // Section 5.1.1: a one bit, zeros, the length in bits as 64-bit number. Nothing may follow.
  digest() {
    const padding = new Uint8Array((this.#filled < 56 ? 64 : 128) - this.#filled);
    padding[0] = 0x80;
    const view = new DataView(padding.buffer);
    view.setUint32(padding.length - 8, Math.floor(this.#length / 2 ** 29));
    view.setUint32(padding.length - 4, (this.#length * 8) % 2 ** 32);
    this.update(padding);
    const hash = new DataView(new ArrayBuffer(32));
    this.#state.forEach((word, i) => hash.setInt32(i * 4, word));
    return new Uint8Array(hash.buffer);
  }
}

// Where handing a file to the browser's digest is quicker, in bytes: below, the wait is longer than the work; above, it takes too much memory.
const WORTH_IT = 1 << 16, TOO_MUCH = 1 << 26;

export const isForBrowser = (size) => size >= WORTH_IT && size <= TOO_MUCH && globalThis.crypto?.subtle !== undefined;

// As sha256, by the browser.
export const sha256ByBrowser = async (bytes) => new Uint8Array(await globalThis.crypto.subtle.digest("SHA-256", bytes));

// The hash of these pieces, one after the other: 32 bytes.
export const sha256 = (...pieces) => pieces.reduce((sha, piece) => sha.update(piece), new Sha256()).digest();
