/** Columns waiting to be settled in order of height: what floods spread by. */

/** A binary heap of columns by height, lowest first; ties go to the lower number, so that the order is always the same. */
export class ColumnHeap {
  readonly #items: number[] = [];
  readonly #place: Int32Array;
  readonly #heights: Float64Array;

  constructor(heights: Float64Array) {
    this.#heights = heights;
    this.#place = new Int32Array(heights.length).fill(-1);
  }

  /** Puts a column in, or moves it up after its height fell. */
  raise(c: number): void {
    let i = this.#place[c];
    if (i < 0) {
      i = this.#items.length;
      this.#items.push(c);
    }
    while (i > 0) {
      const parent = (i - 1) >> 1;
      if (!this.#before(c, this.#items[parent])) break;
      this.#put(this.#items[parent], i);
      i = parent;
    }
    this.#put(c, i);
  }

  /** Takes out the lowest; −1 when empty. */
  pop(): number {
    const items = this.#items;
    if (items.length === 0) return -1;
    const first = items[0];
    const last = items.pop()!;
    this.#place[first] = -1;
    if (items.length === 0) return first;
    let i = 0;
    for (;;) {
      let child = 2 * i + 1;
      if (child >= items.length) break;
      if (child + 1 < items.length && this.#before(items[child + 1], items[child])) child++;
      if (!this.#before(items[child], last)) break;
      this.#put(items[child], i);
      i = child;
    }
    this.#put(last, i);
    return first;
  }

  #before(a: number, b: number): boolean {
    const ha = this.#heights[a];
    const hb = this.#heights[b];
    return ha < hb || (ha === hb && a < b);
  }

  #put(c: number, i: number): void {
    this.#items[i] = c;
    this.#place[c] = i;
  }
}
