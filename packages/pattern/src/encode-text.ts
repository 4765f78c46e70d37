/** Text in pieces, so that a large mesh never becomes one string. */

/** Collects lines and gives them back as bytes. */
export class TextPieces {
  readonly #pieces: Uint8Array[] = [];
  readonly #encoder = new TextEncoder();
  #lines: string[] = [];
  #size = 0;

  add(line: string): void {
    this.#lines.push(line);
    if (this.#lines.length >= 20000) this.#flush();
  }

  bytes(): Uint8Array {
    this.#flush();
    const all = new Uint8Array(this.#size);
    let at = 0;
    for (const piece of this.#pieces) {
      all.set(piece, at);
      at += piece.length;
    }
    return all;
  }

  #flush(): void {
    const piece = this.#encoder.encode(this.#lines.join(''));
    this.#lines = [];
    this.#pieces.push(piece);
    this.#size += piece.length;
  }
}
