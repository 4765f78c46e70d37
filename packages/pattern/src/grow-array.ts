/** Typed arrays that grow. */

/** A growing list of doubles or of 32-bit whole numbers. `data` may be longer than `length`. */
export class GrowingArray<T extends Float64Array | Int32Array | Uint32Array> {
  data: T;
  length = 0;

  /** @param make Makes an array of the given size. */
  constructor(
    private readonly make: (size: number) => T,
    room: number,
  ) {
    this.data = make(Math.max(16, Math.min(room, 1 << 27)));
  }

  push(value: number): void {
    if (this.length === this.data.length) {
      const larger = this.make(Math.ceil(this.data.length * 1.5));
      larger.set(this.data);
      this.data = larger;
    }
    this.data[this.length++] = value;
  }
}

export const growingDoubles = (room: number): GrowingArray<Float64Array> =>
  new GrowingArray((size) => new Float64Array(size), room);
export const growingInts = (room: number): GrowingArray<Int32Array> =>
  new GrowingArray((size) => new Int32Array(size), room);
