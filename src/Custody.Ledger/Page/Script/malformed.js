// Bytes that are not what a standard says they must be: the only error the readers here throw for what a dossier holds.
// code: stable dotted word, the same as the command's. message: one sentence for people.
export class Malformed extends Error {
  constructor(code, sentence) {
    super(sentence);
    this.code = code;
  }
}

// The value of a reader, or null where it refuses. Anything but a refusal is a fault of ours and goes on.
export function orNull(read) {
  try {
    return read();
  } catch (fault) {
    if (fault instanceof Malformed) return null;
    throw fault;
  }
}
