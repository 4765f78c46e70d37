/** Directed edges by their two corners, in flat memory: maps of JavaScript take several times as long over 100,000 edges. */

/** A number for each directed edge. Corners are whole numbers from 0. */
export class EdgeTable {
  readonly #mask: number;
  readonly #from: Int32Array;
  readonly #to: Int32Array;
  readonly #values: Int32Array;

  /** @param expected The most edges that will be put in. */
  constructor(expected: number) {
    const size = 2 ** Math.ceil(Math.log2(2 * expected + 2));
    this.#mask = size - 1;
    this.#from = new Int32Array(size).fill(-1);
    this.#to = new Int32Array(size);
    this.#values = new Int32Array(size);
  }

  /** The number of the edge from `a` to `b`, or -1 where there is none. */
  get(a: number, b: number): number {
    const slot = this.#slotOf(a, b);
    return this.#from[slot] < 0 ? -1 : this.#values[slot];
  }

  /** Gives the edge from `a` to `b` a number, in place of the one it may have. */
  set(a: number, b: number, value: number): void {
    const slot = this.#slotOf(a, b);
    this.#from[slot] = a;
    this.#to[slot] = b;
    this.#values[slot] = value;
  }

  #slotOf(a: number, b: number): number {
    let slot = Math.imul(a, 0x9e3779b1) ^ Math.imul(b, 0x85ebca6b);
    slot = (slot ^ (slot >>> 15)) & this.#mask;
    while (this.#from[slot] >= 0 && (this.#from[slot] !== a || this.#to[slot] !== b)) slot = (slot + 1) & this.#mask;
    return slot;
  }
}
