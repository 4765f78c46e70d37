/** Gathers the triangles of a file that lists corners and refers to them by number. */
import type { Finding } from '@oddside/core';
import { isCoordinate } from './raw-mesh.js';
import { CornerWelder } from './weld-corners.js';

/** A placing: x' = m0 x + m1 y + m2 z + m3, and so on by rows. */
export type Placing = Float64Array;

/** Corner table of one part of a file: raw coordinates, which may hold unusable numbers. */
export interface CornerTable {
  readonly positions: Float64Array;
  /** How many corners of `positions` count. */
  readonly count: number;
}

/** The part that is being added: its corners, where each went, and how it is placed. */
interface Part {
  readonly table: CornerTable;
  readonly placing: Placing | undefined;
  readonly mirrored: boolean;
  /** Welded number + 1 of each corner; 0 not yet placed; -1 not usable. */
  readonly welded: Int32Array;
}

/** Welds corners, checks numbers, and counts what had to be left out. */
export class TriangleCollector {
  readonly welder: CornerWelder;
  #triangles: Uint32Array;
  #used = 0;
  #part: Part | undefined;
  #seen = 0;
  #badNumbers = 0;
  #badCorners = 0;
  #firstBadCorner = '';

  constructor(expectedTriangles: number) {
    const room = Math.max(16, Math.min(expectedTriangles, 1 << 26));
    this.welder = new CornerWelder(Math.ceil(room / 2) + 8);
    this.#triangles = new Uint32Array(room * 3);
  }

  /** How many triangles came, good or bad. */
  get seen(): number {
    return this.#seen;
  }

  /** Starts a part with corners of its own. A mirrored placing turns its triangles over, so that outside stays outside. */
  startPart(table: CornerTable, placing?: Placing): void {
    const mirrored = placing !== undefined && determinant(placing) < 0;
    this.#part = { table, placing, mirrored, welded: new Int32Array(table.count) };
  }

  /** Adds a triangle of the current part by its corner numbers; any number may come. */
  add(a: number, b: number, c: number): void {
    const part = this.#part!;
    this.#seen++;
    const { count } = part.table;
    if (!(a >= 0 && a < count && b >= 0 && b < count && c >= 0 && c < count)) {
      if (this.#badCorners++ === 0) {
        const wrong = [a, b, c].find((corner) => !(corner >= 0 && corner < count));
        this.#firstBadCorner = `triangle ${this.#seen} names corner ${wrong}, of ${count}`;
      }
      return;
    }
    const p = this.#place(part, a);
    const q = this.#place(part, b);
    const r = this.#place(part, c);
    if (p < 0 || q < 0 || r < 0) {
      this.#badNumbers++;
      return;
    }
    if (this.#used + 3 > this.#triangles.length) {
      const larger = new Uint32Array(Math.ceil(this.#triangles.length / 2) * 3);
      larger.set(this.#triangles);
      this.#triangles = larger;
    }
    this.#triangles[this.#used] = p;
    this.#triangles[this.#used + 1] = part.mirrored ? r : q;
    this.#triangles[this.#used + 2] = part.mirrored ? q : r;
    this.#used += 3;
  }

  /** Counts a triangle that could not even be read. */
  addUnreadable(what: string): void {
    this.#seen++;
    if (this.#badCorners++ === 0) this.#firstBadCorner = what;
  }

  #place(part: Part, corner: number): number {
    const known = part.welded[corner];
    if (known !== 0) return known - 1;
    const { positions } = part.table;
    let x = positions[corner * 3];
    let y = positions[corner * 3 + 1];
    let z = positions[corner * 3 + 2];
    const m = part.placing;
    if (m !== undefined) {
      const u = x * m[0] + y * m[1] + z * m[2] + m[3];
      const v = x * m[4] + y * m[5] + z * m[6] + m[7];
      const w = x * m[8] + y * m[9] + z * m[10] + m[11];
      x = u;
      y = v;
      z = w;
    }
    if (!isCoordinate(x) || !isCoordinate(y) || !isCoordinate(z)) {
      part.welded[corner] = -1;
      return -2;
    }
    const index = this.welder.add(x, y, z);
    part.welded[corner] = index + 1;
    return index;
  }

  /** The mesh, with a finding for each kind of triangle left out. */
  finish(): { positions: Float64Array; triangles: Uint32Array; findings: Finding[] } {
    const findings: Finding[] = [];
    const remedy = 'Mend the pattern, or export the file again.';
    if (this.#badNumbers > 0) {
      findings.push({
        code: 'triangles-dropped',
        severity: 'problem',
        message:
          `${this.#badNumbers} of ${this.#seen} triangles have a corner that is not a usable number (NaN, infinite or ` +
          `absurdly large) and were left out; they leave holes.`,
        remedy,
      });
    }
    if (this.#badCorners > 0) {
      findings.push({
        code: 'corners-missing',
        severity: 'problem',
        message:
          `${this.#badCorners} of ${this.#seen} triangles name a corner that does not exist and were left out ` +
          `(${this.#firstBadCorner}); they leave holes.`,
        remedy,
      });
    }
    return { positions: this.welder.finish(), triangles: this.#triangles.slice(0, this.#used), findings };
  }
}

/** How much a placing enlarges volume; negative where it mirrors. */
export function determinant(m: Placing): number {
  return m[0] * (m[5] * m[10] - m[6] * m[9]) - m[1] * (m[4] * m[10] - m[6] * m[8]) + m[2] * (m[4] * m[9] - m[5] * m[8]);
}

/** First `inner`, then `outer`. */
export function placeWithin(outer: Placing | undefined, inner: Placing | undefined): Placing | undefined {
  if (outer === undefined) return inner;
  if (inner === undefined) return outer;
  const m = new Float64Array(12);
  for (let row = 0; row < 12; row += 4) {
    for (let column = 0; column < 4; column++) {
      m[row + column] =
        outer[row] * inner[column] +
        outer[row + 1] * inner[4 + column] +
        outer[row + 2] * inner[8 + column] +
        (column === 3 ? outer[row + 3] : 0);
    }
  }
  return m;
}
