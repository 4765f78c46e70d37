/**
 * Exact weld: corners whose coordinates are equal as numbers become one. -0 equals 0. No tolerance, so nothing moves;
 * welding by distance is a mending step that says what it did.
 *
 * An open-addressing hash table on typed arrays. A table of strings took ten times as long and thirty times the memory
 * on a million triangles.
 */
export class CornerWelder {
  #positions: Float64Array;
  #table: Int32Array;
  #mask: number;
  #count = 0;
  /** The corners of the facet before. */
  #first = 0;
  #second = 0;
  #third = 0;
  readonly #number = new Float64Array(3);
  readonly #words = new Uint32Array(this.#number.buffer);

  /** @param expected How many different corners to make room for at first; it grows as needed. */
  constructor(expected: number) {
    const room = Math.max(16, Math.min(expected, 1 << 26));
    this.#positions = new Float64Array(room * 3);
    let size = 32;
    while (size < room * 2) size *= 2;
    this.#table = new Int32Array(size);
    this.#mask = size - 1;
  }

  /** How many different corners came so far. */
  get count(): number {
    return this.#count;
  }

  /** The number of the corner at x y z: that of an equal one seen before, or the next. All three must be finite. */
  add(x: number, y: number, z: number): number {
    // Adding 0 turns -0 into 0, so that both hash alike; every other number stays as it is.
    x += 0;
    y += 0;
    z += 0;
    let positions = this.#positions;
    let table = this.#table;
    let slot = this.#hash(x, y, z) & this.#mask;
    for (;;) {
      const entry = table[slot];
      if (entry === 0) break;
      const at = (entry - 1) * 3;
      if (positions[at] === x && positions[at + 1] === y && positions[at + 2] === z) return entry - 1;
      slot = (slot + 1) & this.#mask;
    }
    const index = this.#count++;
    if (index * 3 + 3 > positions.length) {
      positions = this.#growPositions();
    }
    positions[index * 3] = x;
    positions[index * 3 + 1] = y;
    positions[index * 3 + 2] = z;
    table[slot] = index + 1;
    if (this.#count * 2 > table.length) {
      table = this.#growTable();
    }
    return index;
  }

  /**
   * Writes the numbers of a facet's three corners, 3×3, to `into` from `slot` on. Most facets of a file share corners with
   * the one before, so those three are tried before the table.
   */
  addFacet(corners: Float64Array, into: Uint32Array, slot: number): void {
    const a = this.#first;
    const b = this.#second;
    const c = this.#third;
    this.#first = into[slot] = this.#addNear(corners[0], corners[1], corners[2], a, b, c);
    this.#second = into[slot + 1] = this.#addNear(corners[3], corners[4], corners[5], a, b, c);
    this.#third = into[slot + 2] = this.#addNear(corners[6], corners[7], corners[8], a, b, c);
  }

  /** The corners, n×3. The welder must not be used afterwards. */
  finish(): Float64Array {
    const used = this.#count * 3;
    return used === this.#positions.length ? this.#positions : this.#positions.slice(0, used);
  }

  #addNear(x: number, y: number, z: number, a: number, b: number, c: number): number {
    // Before the first corner the three numbers mean nothing yet.
    if (this.#count > 0) {
      const p = this.#positions;
      if (p[a * 3] === x && p[a * 3 + 1] === y && p[a * 3 + 2] === z) return a;
      if (p[b * 3] === x && p[b * 3 + 1] === y && p[b * 3 + 2] === z) return b;
      if (p[c * 3] === x && p[c * 3 + 1] === y && p[c * 3 + 2] === z) return c;
    }
    return this.add(x, y, z);
  }

  #hash(x: number, y: number, z: number): number {
    const words = this.#words;
    this.#number[0] = x;
    this.#number[1] = y;
    this.#number[2] = z;
    // The low words are zero for coordinates that were 32-bit floats, so every word is mixed by its own odd factor and
    // the result is stirred: neighbouring floats differ in few bits.
    let h = Math.imul(words[0], 0x9e3779b1) ^ Math.imul(words[1], 0x85ebca77);
    h = (h << 13) | (h >>> 19);
    h = (h + Math.imul(words[2], 0xc2b2ae3d)) ^ Math.imul(words[3], 0x27d4eb2f);
    h = (h << 11) | (h >>> 21);
    h = (h + Math.imul(words[4], 0x165667b1)) ^ Math.imul(words[5], 0x2545f491);
    h = Math.imul(h ^ (h >>> 15), 0x2c1b3c6d);
    h = Math.imul(h ^ (h >>> 12), 0x297a2d39);
    return h ^ (h >>> 15);
  }

  #growPositions(): Float64Array {
    const larger = new Float64Array(Math.ceil(this.#positions.length / 2) * 3);
    larger.set(this.#positions);
    this.#positions = larger;
    return larger;
  }

  #growTable(): Int32Array {
    const size = this.#table.length * 2;
    const table = new Int32Array(size);
    const positions = this.#positions;
    this.#mask = size - 1;
    for (let i = 0; i < this.#count; i++) {
      let slot = this.#hash(positions[i * 3], positions[i * 3 + 1], positions[i * 3 + 2]) & this.#mask;
      while (table[slot] !== 0) slot = (slot + 1) & this.#mask;
      table[slot] = i + 1;
    }
    this.#table = table;
    return table;
  }
}
