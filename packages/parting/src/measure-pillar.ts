/**
 * The pillar of sand that stands in a through hole: how wide, how tall, how slender. A slender one breaks off on drawing;
 * moulders make it a core instead.
 */
import { CELL_BOTTOM, CELL_STRIDE, CELL_TOP, type ColumnField } from './column-field.js';
import type { BoundaryLoop } from './trace-shadow-boundary.js';

/** A pillar of sand in a through hole. */
export interface SandPillar {
  /** Widest circle that fits in the hole's shadow, mm across. */
  readonly width: number;
  /** From the lowest to the highest metal round the hole, mm: cope and drag share it. */
  readonly height: number;
  /** Height over width. */
  readonly slenderness: number;
}

/** Candidates along each side when looking for the middle of the hole. */
const LOOKS = 16;

/** Measures the pillar inside an inner loop. Cost: about 600 looks at every point of the loop. */
export function measurePillar(field: ColumnField, loop: BoundaryLoop): SandPillar {
  const { u, v } = loop;
  const [u0, u1] = [Math.min(...spread(u)), Math.max(...spread(u))];
  const [v0, v1] = [Math.min(...spread(v)), Math.max(...spread(v))];
  let best = { u: (u0 + u1) / 2, v: (v0 + v1) / 2, room: 0 };
  let reachU = (u1 - u0) / 2;
  let reachV = (v1 - v0) / 2;
  for (let round = 0; round < 4; round++) {
    const middle = best;
    for (let i = 0; i <= LOOKS; i++) {
      for (let j = 0; j <= LOOKS; j++) {
        const cu = middle.u + reachU * ((2 * i) / LOOKS - 1);
        const cv = middle.v + reachV * ((2 * j) / LOOKS - 1);
        const room = roomAt(u, v, cu, cv, best.room);
        if (room > best.room) best = { u: cu, v: cv, room };
      }
    }
    reachU *= 2 / LOOKS;
    reachV *= 2 / LOOKS;
  }
  const width = 2 * best.room;
  const around = width / 2 + 2 * field.column;
  const height = heightAround(field, u0 - around, u1 + around, v0 - around, v1 + around);
  return { width, height, slenderness: width > 0 ? height / width : Infinity };
}

/** Plain array of a loop's places, thinned where there are more than can be spread into arguments. */
function spread(values: Float64Array): number[] {
  const step = Math.ceil(values.length / 20_000);
  return Array.from({ length: Math.ceil(values.length / step) }, (_, i) => values[i * step]);
}

/** Distance from a place to the loop; 0 outside it, and where it is no more than `beaten`. */
function roomAt(u: Float64Array, v: Float64Array, cu: number, cv: number, beaten: number): number {
  const enough = beaten * beaten;
  let least = Infinity;
  let inside = false;
  for (let i = 0, j = u.length - 1; i < u.length; j = i++) {
    const du = u[i] - u[j];
    const dv = v[i] - v[j];
    const size = du * du + dv * dv;
    const part = size > 0 ? Math.min(1, Math.max(0, ((cu - u[j]) * du + (cv - v[j]) * dv) / size)) : 0;
    least = Math.min(least, (u[j] + part * du - cu) ** 2 + (v[j] + part * dv - cv) ** 2);
    if (least <= enough) return 0;
    if (v[i] > cv !== v[j] > cv && cu < u[j] + ((cv - v[j]) / dv) * du) inside = !inside;
  }
  return inside ? Math.sqrt(least) : 0;
}

function heightAround(field: ColumnField, u0: number, u1: number, v0: number, v1: number): number {
  const { cells, nu, nv, column } = field;
  let top = -Infinity;
  let bottom = Infinity;
  const first = (low: number, start: number): number => Math.max(0, Math.ceil((low - start) / column));
  for (let y = first(v0, field.v0); y < nv && field.v0 + y * column <= v1; y++) {
    for (let x = first(u0, field.u0); x < nu && field.u0 + x * column <= u1; x++) {
      const i = (y * nu + x) * CELL_STRIDE;
      top = Math.max(top, cells[i + CELL_TOP]);
      bottom = Math.min(bottom, cells[i + CELL_BOTTOM]);
    }
  }
  return Math.max(0, top - bottom);
}
