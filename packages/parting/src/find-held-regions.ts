/** The places where sand is held, one by one: gaps between stretches of metal that hang together from column to column. */
import type { Vec3 } from '@oddside/core';
import { dot } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import type { ColumnField } from './column-field.js';
import { pointAt } from './lay-parting-loop.js';
import { listIntervals, type ColumnIntervals } from './list-intervals.js';

/** Sand that is held in one place. */
export interface HeldRegion {
  /** 0 is the largest. */
  readonly number: number;
  readonly volumeMm3: number;
  /** Lowest and highest of it, mm along the draw from the file's origin. */
  readonly low: number;
  readonly high: number;
  /** Its middle, in the pattern's coordinates. */
  readonly where: Vec3;
  /** Its shadow, mm². */
  readonly areaMm2: number;
}

/** Held regions with what they were found from: gap `g` lies in column `gapColumn[g]`. */
export interface HeldField {
  readonly field: ColumnField;
  readonly intervals: ColumnIntervals;
  readonly regions: readonly HeldRegion[];
  /** Per gap: its column, its heights from the field's origin, and its region. */
  readonly gapColumn: Int32Array;
  readonly gapLow: Float64Array;
  readonly gapHigh: Float64Array;
  readonly gapRegion: Int32Array;
}

/** Finds the held regions of a field, largest first. Cost: as `listIntervals`, and a pass over the gaps. */
export function findHeldRegions(pattern: Pattern, field: ColumnField): HeldField {
  return findHeldRegionsIn(field, listIntervals(pattern, field));
}

/** {@link findHeldRegions} of stretches already listed. */
export function findHeldRegionsIn(field: ColumnField, intervals: ColumnIntervals): HeldField {
  const { starts, lows, highs } = intervals;
  const { nu, nv } = field;
  const firstGap = new Uint32Array(nu * nv + 1);
  for (let c = 0; c < nu * nv; c++) firstGap[c + 1] = firstGap[c] + Math.max(0, starts[c + 1] - starts[c] - 1);
  const count = firstGap[nu * nv];
  const gapColumn = new Int32Array(count);
  const gapLow = new Float64Array(count);
  const gapHigh = new Float64Array(count);
  for (let c = 0; c < nu * nv; c++) {
    for (let g = firstGap[c]; g < firstGap[c + 1]; g++) {
      const i = starts[c] + g - firstGap[c];
      gapColumn[g] = c;
      gapLow[g] = highs[i];
      gapHigh[g] = lows[i + 1];
    }
  }
  const parent = Int32Array.from({ length: count }, (_, g) => g);
  const find = (g: number): number => {
    while (parent[g] !== g) {
      parent[g] = parent[parent[g]];
      g = parent[g];
    }
    return g;
  };
  const join = (c: number, other: number): void => {
    for (let g = firstGap[c]; g < firstGap[c + 1]; g++) {
      for (let h = firstGap[other]; h < firstGap[other + 1]; h++) {
        if (gapLow[g] > gapHigh[h] || gapLow[h] > gapHigh[g]) continue;
        const [a, b] = [find(g), find(h)];
        if (a < b) parent[b] = a;
        else parent[a] = b;
      }
    }
  };
  for (let c = 0; c < nu * nv; c++) {
    if (firstGap[c] === firstGap[c + 1]) continue;
    if ((c + 1) % nu !== 0) join(c, c + 1);
    if (c + nu < nu * nv) join(c, c + nu);
  }
  const roots = Int32Array.from({ length: count }, (_, g) => find(g));
  const { regions, numbers } = describeRegions(roots, { gapColumn, gapLow, gapHigh }, field);
  return { field, intervals, regions, gapColumn, gapLow, gapHigh, gapRegion: roots.map((root) => numbers.get(root)!) };
}

function describeRegions(
  roots: Int32Array,
  gaps: { gapColumn: Int32Array; gapLow: Float64Array; gapHigh: Float64Array },
  field: ColumnField,
): { regions: HeldRegion[]; numbers: Map<number, number> } {
  const sums = new Map<
    number,
    { volume: number; u: number; v: number; h: number; low: number; high: number; n: number }
  >();
  roots.forEach((root, g) => {
    const sum = sums.get(root) ?? { volume: 0, u: 0, v: 0, h: 0, low: Infinity, high: -Infinity, n: 0 };
    const [low, high] = [gaps.gapLow[g], gaps.gapHigh[g]];
    const weight = high - low;
    const c = gaps.gapColumn[g];
    sum.volume += weight;
    sum.u += weight * (c % field.nu);
    sum.v += weight * Math.floor(c / field.nu);
    sum.h += (weight * (low + high)) / 2;
    sum.low = Math.min(sum.low, low);
    sum.high = Math.max(sum.high, high);
    sum.n++;
    sums.set(root, sum);
  });
  const area = field.column * field.column;
  const base = dot(field.origin, field.direction);
  const ordered = [...sums].sort((a, b) => b[1].volume - a[1].volume || a[0] - b[0]);
  const regions = ordered.map(([, sum], number): HeldRegion => {
    const place = (part: number, start: number): number => start + (part / sum.volume) * field.column;
    return {
      number,
      volumeMm3: sum.volume * area,
      low: sum.low + base,
      high: sum.high + base,
      where: pointAt(field, place(sum.u, field.u0), place(sum.v, field.v0), sum.h / sum.volume),
      areaMm2: sum.n * area,
    };
  });
  return { regions, numbers: new Map(ordered.map(([root], number) => [root, number])) };
}
