/** The plan of the flask round a pattern, and the seeds from which the joint's bounds spread over its sand. */
import { CELL_STRIDE, CELL_TOP, type ColumnField } from './column-field.js';
import type { SandPlan, Seeds } from './march-sand.js';
import type { BoundaryLoop } from './trace-shadow-boundary.js';

/** A plan with its place: column (0, 0) of the field is column (margin, margin) of the plan. */
export interface PlacedPlan extends SandPlan {
  readonly margin: number;
}

/** The field's columns with so many more all round. */
export function planSand(field: ColumnField, margin: number): PlacedPlan {
  const nx = field.nu + 2 * margin;
  const ny = field.nv + 2 * margin;
  const sand = new Uint8Array(nx * ny).fill(1);
  for (let y = 0, i = CELL_TOP; y < field.nv; y++) {
    for (let x = 0; x < field.nu; x++, i += CELL_STRIDE) {
      if (field.cells[i] !== -Infinity) sand[(y + margin) * nx + x + margin] = 0;
    }
  }
  return { nx, ny, sand, margin };
}

/** One rim point in plan columns with its corridor; numbered in the order of the loops. */
export interface RimPoint {
  readonly x: number;
  readonly y: number;
  readonly low: number;
  readonly high: number;
}

/** Rim points of all loops, and for each the number of the next one round. */
export function listRim(
  field: ColumnField,
  plan: PlacedPlan,
  loops: readonly BoundaryLoop[],
): { points: RimPoint[]; next: number[] } {
  const points: RimPoint[] = [];
  const next: number[] = [];
  for (const loop of loops) {
    const first = points.length;
    for (let i = 0; i < loop.u.length; i++) {
      points.push({
        x: (loop.u[i] - field.u0) / field.column + plan.margin,
        y: (loop.v[i] - field.v0) / field.column + plan.margin,
        low: loop.wideLow[i],
        high: loop.wideHigh[i],
      });
      next.push(i + 1 < loop.u.length ? points.length : first);
    }
  }
  return { points, next };
}

/** Places looked at on each piece of rim when seeding. */
const LOOKS = 4;

/**
 * Seeds for the upper bound (`high`) or, turned over, for the lower one: at every sand column beside the rim, the least of
 * bound + rise × distance over the pieces of rim in the same square of four columns.
 */
export function seedFromRim(
  plan: PlacedPlan,
  rim: { readonly points: readonly RimPoint[]; readonly next: readonly number[] },
  bound: (point: RimPoint) => number,
  rise: number,
): Seeds {
  const columns: number[] = [];
  const heights: number[] = [];
  const sources: number[] = [];
  rim.points.forEach((from, i) => {
    const to = rim.points[rim.next[i]];
    const x0 = Math.floor(Math.min((from.x + to.x) / 2, plan.nx - 2));
    const y0 = Math.floor(Math.min((from.y + to.y) / 2, plan.ny - 2));
    for (let k = 0; k < 4; k++) {
      const [x, y] = [x0 + (k & 1), y0 + (k >> 1)];
      const c = y * plan.nx + x;
      if (!plan.sand[c]) continue;
      let best = Infinity;
      for (let j = 0; j <= LOOKS; j++) {
        const part = j / LOOKS;
        const far = Math.hypot(from.x + part * (to.x - from.x) - x, from.y + part * (to.y - from.y) - y);
        best = Math.min(best, bound(from) + part * (bound(to) - bound(from)) + rise * far);
      }
      columns.push(c);
      heights.push(best);
      sources.push(bound(from) <= bound(to) ? i : rim.next[i]);
    }
  });
  return { columns, heights, sources };
}

/** 1 for sand that reaches the plan's edge, 0 for metal and for sand shut in a hole of the shadow. */
export function outerSand(plan: PlacedPlan): Uint8Array {
  const { nx, ny, sand } = plan;
  const outer = new Uint8Array(nx * ny);
  const stack = [0];
  outer[0] = sand[0];
  while (stack.length > 0) {
    const c = stack.pop()!;
    const x = c % nx;
    for (const p of [x > 0 ? c - 1 : -1, x + 1 < nx ? c + 1 : -1, c - nx, c + nx]) {
      if (p < 0 || p >= nx * ny || !sand[p] || outer[p]) continue;
      outer[p] = 1;
      stack.push(p);
    }
  }
  return outer;
}
