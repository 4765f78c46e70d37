/** The pattern as it lies in the mould: the draw upright, the joint at height 0, its long side along x. */
import { cross, dot, unitVector, type Vec3 } from '@oddside/core';
import { castColumns, CELL_STRIDE, type ColumnField } from '@oddside/parting';
import type { Pattern } from '@oddside/pattern';

/** A pattern laid in the mould. */
export interface LaidPattern {
  /** Positions in mm: x along the length, y across, z above the joint. */
  readonly pattern: Pattern;
  /** Length, width and height as it lies, mm. */
  readonly size: Vec3;
  /** Directions of its length, width and height in the file's coordinates; a place p of the file lies at axes · p − shift. */
  readonly axes: readonly [Vec3, Vec3, Vec3];
  readonly shift: Vec3;
}

/** Directions tried for the long side over a half turn. */
const TURNS = 180;
/** Columns of the outline that the long side is found from. */
const OUTLINE_COLUMNS = 192;

/**
 * Lays a pattern.
 *
 * @param direction The cope's draw, unit vector.
 * @param jointHeight Height of the joint along it from the file's origin, mm.
 */
export function layPattern(pattern: Pattern, direction: Vec3, jointHeight: number): LaidPattern {
  const field = castColumns(pattern, direction, OUTLINE_COLUMNS);
  const along = longSide(field);
  const across = cross(direction, along);
  const { positions } = pattern;
  const laid = new Float64Array(positions.length);
  const min = [Infinity, Infinity, Infinity];
  const max = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < positions.length; i += 3) {
    const p: Vec3 = [positions[i], positions[i + 1], positions[i + 2]];
    laid[i] = dot(p, along);
    laid[i + 1] = dot(p, across);
    laid[i + 2] = dot(p, direction) - jointHeight;
    for (let k = 0; k < 3; k++) {
      min[k] = Math.min(min[k], laid[i + k]);
      max[k] = Math.max(max[k], laid[i + k]);
    }
  }
  const midX = (min[0] + max[0]) / 2;
  const midY = (min[1] + max[1]) / 2;
  for (let i = 0; i < laid.length; i += 3) {
    laid[i] -= midX;
    laid[i + 1] -= midY;
  }
  return {
    pattern: { ...pattern, positions: laid },
    size: [max[0] - min[0], max[1] - min[1], max[2] - min[2]],
    axes: [along, across, direction],
    shift: [midX, midY, jointHeight],
  };
}

/** The in-plane direction of the long side of the smallest rectangle round the shadow, to a degree. */
function longSide(field: ColumnField): Vec3 {
  const { cells, nu, nv, u, v } = field;
  const rim: number[] = [];
  for (let row = 0; row < nv; row++) {
    let first = -1;
    let last = -1;
    for (let x = 0; x < nu; x++) {
      if (cells[(row * nu + x) * CELL_STRIDE] === -Infinity) continue;
      if (first < 0) first = x;
      last = x;
    }
    if (first >= 0) rim.push(first, row, last, row);
  }
  let best: Vec3 = u;
  let least = Infinity;
  for (let k = 0; k < TURNS; k++) {
    const turn = (Math.PI * k) / TURNS;
    const c = Math.cos(turn);
    const s = Math.sin(turn);
    const spans = [c, s, -s, c];
    const length = extent(rim, spans[0], spans[1]);
    const width = extent(rim, spans[2], spans[3]);
    // The rectangle appears twice, a quarter turn apart: only the one with its long side this way counts.
    if (length < width || length * width >= least) continue;
    least = length * width;
    best = unitVector([c * u[0] + s * v[0], c * u[1] + s * v[1], c * u[2] + s * v[2]]);
  }
  return best;
}

function extent(rim: readonly number[], c: number, s: number): number {
  let low = Infinity;
  let high = -Infinity;
  for (let i = 0; i < rim.length; i += 2) {
    const place = rim[i] * c + rim[i + 1] * s;
    if (place < low) low = place;
    if (place > high) high = place;
  }
  return high - low + 1;
}
