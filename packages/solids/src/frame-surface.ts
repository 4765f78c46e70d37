/** A free-form joint in the frame of a draw. */
import { OddsideError, checkNumber, dot, subtract, type Vec3 } from '@oddside/core';
import { bodyOfArrays } from './convert-body.js';
import type { DrawFrame } from './draw-frame.js';
import type { FramedJoint } from './frame-joint.js';
import type { SurfaceJoint } from './joint.js';
import type { Body } from './kernel.js';
import type { Scope } from './own-bodies.js';

/** How far a free-form joint's block reaches beyond what it is to cut, mm: more than any rounding. */
const BEYOND = 1;

/** A free-form joint in the frame. @throws OddsideError `bad-number`, `bad-option`. */
export function frameSurface(frame: DrawFrame, joint: SurfaceJoint): FramedJoint {
  const { column, nu, nv, heights } = joint;
  checkNumber('joint.column (mm)', column, { min: 0, above: true });
  checkNumber('joint.nu', nu, { min: 2, whole: true });
  checkNumber('joint.nv', nv, { min: 2, whole: true });
  if (!(heights instanceof Float64Array) || heights.length !== nu * nv) {
    throw new OddsideError(
      'bad-option',
      `joint.heights must be a Float64Array of nu × nv = ${nu * nv} heights, but ${heights?.length} came.`,
    );
  }
  const low = heights.reduce((a, b) => Math.min(a, b), Infinity) - frame.base;
  const high = heights.reduce((a, b) => Math.max(a, b), -Infinity) - frame.base;
  if (!Number.isFinite(low) || !Number.isFinite(high)) {
    throw new OddsideError('bad-number', 'Every height of the joint must be a finite number.');
  }
  // Both frames have the same z, so the grid is turned and moved in plan only.
  const shift = subtract(joint.origin, frame.origin);
  const at = (axis: Vec3): number => dot(shift, axis) + joint.u0 * dot(joint.u, axis) + joint.v0 * dot(joint.v, axis);
  const [x0, y0] = [at(frame.u), at(frame.v)];
  const [ux, uy] = [dot(joint.u, frame.u), dot(joint.u, frame.v)];
  const [vx, vy] = [dot(joint.v, frame.u), dot(joint.v, frame.v)];
  const clamp = (value: number, most: number): number => Math.max(0, Math.min(most, value));
  const height = (i: number, j: number): number => heights[clamp(j, nv - 1) * nu + clamp(i, nu - 1)] - frame.base;
  const place = (x: number, y: number): readonly [number, number] => {
    const [dx, dy] = [x - x0, y - y0];
    return [(dx * ux + dy * uy) / column, (dx * vx + dy * vy) / column];
  };
  const heightAt = (x: number, y: number): number => {
    const [fi, fj] = place(x, y);
    const i = clamp(Math.floor(fi), nu - 2);
    const j = clamp(Math.floor(fj), nv - 2);
    const [s, t] = [clamp(fi - i, 1), clamp(fj - j, 1)];
    const [h00, h10, h01, h11] = [height(i, j), height(i + 1, j), height(i, j + 1), height(i + 1, j + 1)];
    // The two triangles that the block is made of, not a curved patch: both must judge alike.
    return s + t <= 1 ? h00 + s * (h10 - h00) + t * (h01 - h00) : h11 + (1 - s) * (h01 - h11) + (1 - t) * (h10 - h11);
  };
  const extreme = (box: readonly [number, number, number, number], pick: (a: number, b: number) => number): number => {
    const corners = [place(box[0], box[1]), place(box[2], box[1]), place(box[0], box[3]), place(box[2], box[3])];
    const range = (k: 0 | 1, most: number): [number, number] => [
      clamp(Math.floor(Math.min(...corners.map((c) => c[k]))), most),
      clamp(Math.ceil(Math.max(...corners.map((c) => c[k]))), most),
    ];
    const [i0, i1] = range(0, nu - 1);
    const [j0, j1] = range(1, nv - 1);
    if ((i1 - i0 + 1) * (j1 - j0 + 1) > 4096) return pick(low, high);
    let best = height(i0, j0);
    for (let j = j0; j <= j1; j++) for (let i = i0; i <= i1; i++) best = pick(best, height(i, j));
    return best;
  };
  /** The block below the joint that holds the plan of a body, down to below it. */
  const block = (scope: Scope, body: Body, lift: number): Body => {
    const { min, max } = body.boundingBox();
    const corners = [place(min[0], min[1]), place(max[0], min[1]), place(min[0], max[1]), place(max[0], max[1])];
    const reach = (k: 0 | 1, most: number): [number, number] => [
      Math.min(0, Math.min(...corners.map((c) => c[k])) - BEYOND),
      Math.max(most, Math.max(...corners.map((c) => c[k])) + BEYOND),
    ];
    const [is, js] = [reach(0, nu - 1), reach(1, nv - 1)];
    const lines = (range: readonly [number, number], count: number): number[] => [
      ...(range[0] < 0 ? [range[0]] : []),
      ...Array.from({ length: count }, (_, k) => k),
      ...(range[1] > count - 1 ? [range[1]] : []),
    ];
    const floor = Math.min(low + lift, min[2]) - Math.max(BEYOND, 0.01 * (max[2] - min[2]));
    const [columns, rows] = [lines(is, nu), lines(js, nv)];
    const points = new Float32Array(columns.length * rows.length * 6);
    const count = columns.length * rows.length;
    rows.forEach((j, row) =>
      columns.forEach((i, k) => {
        const n = row * columns.length + k;
        const [x, y] = [x0 + column * (i * ux + j * vx), y0 + column * (i * uy + j * vy)];
        points.set([x, y, floor], 3 * n);
        points.set([x, y, height(Math.round(i), Math.round(j)) + lift], 3 * (n + count));
      }),
    );
    const triangles = gridTriangles(columns.length, rows.length);
    // Seen from the other draw the grid runs the other way round.
    if (ux * vy - uy * vx < 0) triangles.reverse();
    return bodyOfArrays(scope, points, triangles, 'The joint');
  };
  return {
    plane: false,
    level: low === high ? low : null,
    heightAt,
    lowestOver: (...box) => extreme(box, Math.min),
    highestOver: (...box) => extreme(box, Math.max),
    over(scope, body, lift = 0) {
      const tool = block(scope, body, lift);
      const part = scope.cut(body, tool);
      scope.free(tool);
      return part;
    },
    under(scope, body, lift = 0) {
      const tool = block(scope, body, lift);
      const part = scope.meet(body, tool);
      scope.free(tool);
      return part;
    },
  };
}

/** Triangles of a block whose floor and roof are grids of nx × ny corners, the roof's numbers after the floor's. */
export function gridTriangles(nx: number, ny: number): Uint32Array {
  const count = nx * ny;
  const out: number[] = [];
  for (let j = 0; j + 1 < ny; j++) {
    for (let i = 0; i + 1 < nx; i++) {
      const [a, b, c, d] = [j * nx + i, j * nx + i + 1, (j + 1) * nx + i, (j + 1) * nx + i + 1];
      out.push(a, c, b, b, c, d);
      out.push(a + count, b + count, c + count, b + count, d + count, c + count);
    }
  }
  const wall = (p: number, q: number): void => {
    out.push(p, q, q + count, p, q + count, p + count);
  };
  for (let i = 0; i + 1 < nx; i++) {
    wall(i, i + 1);
    wall((ny - 1) * nx + i + 1, (ny - 1) * nx + i);
  }
  for (let j = 0; j + 1 < ny; j++) {
    wall(j * nx + nx - 1, (j + 1) * nx + nx - 1);
    wall((j + 1) * nx, j * nx);
  }
  return Uint32Array.from(out);
}
