/** Joint surfaces whose volumes, slopes and conflicts are known in closed form; derived by hand, no outside source. */
import { describe, expect, it } from 'vitest';
import type { Vec3 } from '@oddside/core';
import { assessDraw } from '../../packages/parting/src/assess-draw.js';
import { floodSand } from '../../packages/parting/src/march-sand.js';
import type { PartingSurface } from '../../packages/parting/src/parting-surface.js';
import {
  shapePartingSurface,
  type ShapePartingSurfaceOptions,
} from '../../packages/parting/src/shape-parting-surface.js';
import { traceContour } from '../../packages/parting/src/trace-contours.js';
import {
  asPattern,
  box,
  boxesUnion,
  frustum,
  pinnedStairs,
  span,
  spiralStair,
  tetrahedron,
  translate,
  type Mesh,
} from '../helpers/shapes.js';

const UP: Vec3 = [0, 0, 1];

function shape(
  mesh: Mesh,
  options: Partial<ShapePartingSurfaceOptions> & { columns?: number } = {},
  direction: Vec3 = UP,
): PartingSurface {
  const { columns = 128, ...rest } = options;
  const pattern = asPattern(mesh);
  const assessment = assessDraw(pattern, direction, { columns });
  return shapePartingSurface(pattern, assessment, { column: assessment.column, ...rest });
}

/** Strip 6×1 whose rim is pinned at 0 along the middle third of one side and at 2 along the other; free at the ends. */
const pinnedStrip = (): Mesh =>
  boxesUnion([
    span([0, 2], [0, 1], [-3, 5]),
    span([4, 6], [0, 1], [-3, 5]),
    span([2, 4], [0, 0.5], [-3, 0]),
    span([2, 4], [0.5, 1], [2, 5]),
  ]);

describe('shapePartingSurface', () => {
  it('leaves the joint flat where a flat joint does', () => {
    const surface = shape(box([0, 0, 0], [3, 2, 1]));
    expect(surface).toMatchObject({ feasible: true, copeDownMm3: 0, buildUpMm3: 0, leastMargin: 0, conflict: null });
    expect(surface.contours).toEqual([]);
    expect(surface.steepestDeg).toBe(0);
    expect(surface.leastSlopeDeg).toBeNull();
  });

  it('heaps a cone round a raised rim, and digs one round a sunk rim: volume and margin in closed form', () => {
    const L = Math.tan(Math.PI / 6);
    const [R, H] = [10, 4];
    const exact = ((Math.PI * H * H) / L) * (R + H / (3 * L));
    const up = shape(frustum(R, 8, 6, 128), { jointHeight: -H });
    expect(Math.abs(up.buildUpMm3 - exact)).toBeLessThan(up.volumeErrorMm3 + 0.002 * exact);
    expect(up.volumeErrorMm3).toBeLessThan(0.05 * exact);
    expect(up.copeDownMm3).toBe(0);
    expect(Math.abs(up.leastMargin - H / L)).toBeLessThan(2 * up.column);
    expect(up.steepestDeg).toBeLessThan(33);
    expect(up.steepestDeg).toBeGreaterThan(28);
    const down = shape(frustum(8, R, 6, 128), { jointHeight: 6 + H });
    expect(Math.abs(down.copeDownMm3 / up.buildUpMm3 - 1)).toBeLessThan(0.01);
    expect(down.buildUpMm3).toBe(0);
  });

  it('is a cone at every point, in the file’s own heights', () => {
    const surface = shape(translate(frustum(10, 8, 6, 128), [3, 4, 50]), { jointHeight: 46 });
    const L = Math.tan(Math.PI / 6);
    const { nu, nv, u0, v0, u, v, origin, column, heights } = surface;
    let worst = 0;
    for (let y = 0; y < nv; y++) {
      for (let x = 0; x < nu; x++) {
        const h = heights[y * nu + x];
        if (Number.isNaN(h)) continue;
        const [pu, pv] = [u0 + x * column, v0 + y * column];
        const r = Math.hypot(origin[0] + pu * u[0] + pv * v[0] - 3, origin[1] + pu * u[1] + pv * v[1] - 4);
        worst = Math.max(worst, Math.abs(h - Math.max(46, 50 - L * (r - 10))));
      }
    }
    expect(worst).toBeLessThan(column);
  });

  it('O26 measures distance through the sand, not through the casting: 0.4 will do for a pinned strip, where a straight line says 2', () => {
    const steep = (slope: number): number => (Math.atan(slope) * 180) / Math.PI;
    const mesh = pinnedStrip();
    expect(shape(mesh, { slopeLimitDeg: steep(0.42), jointHeight: 1, columns: 256 }).feasible).toBe(true);
    const tight = shape(mesh, { slopeLimitDeg: steep(0.36), jointHeight: 1, columns: 256 });
    expect(tight.feasible).toBe(false);
    expect(tight.conflict!.climb).toBeCloseTo(2, 6);
    // Two corners to turn, about two columns of detour at each.
    expect(Math.abs(tight.conflict!.distance - 5)).toBeLessThan(5 * tight.column);
    expect(Math.abs(Math.tan((tight.leastSlopeDeg! * Math.PI) / 180) - 0.4)).toBeLessThan(0.015);
    // The pair lies across the strip's two pinned thirds.
    expect(tight.conflict!.high[1]).toBeCloseTo(1, 3);
    expect(tight.conflict!.low[1]).toBeCloseTo(0, 3);
    expect(tight.findings.map((finding) => finding.code)).toEqual(['joint-too-steep']);
  });

  it('needs a slope of 2 round a seven-step spiral stair, and no slope will do with eight', () => {
    const seven = shape(spiralStair(7), { slopeLimitDeg: 45, jointHeight: 2 });
    expect(seven.feasible).toBe(false);
    expect(Math.abs(Math.tan((seven.leastSlopeDeg! * Math.PI) / 180) - 2)).toBeLessThan(0.1);
    expect(shape(spiralStair(7), { slopeLimitDeg: 65, jointHeight: 2 }).feasible).toBe(true);
    const eight = shape(spiralStair(8), { slopeLimitDeg: 65, jointHeight: 2 });
    expect(eight.feasible).toBe(false);
    expect(eight.leastSlopeDeg!).toBeGreaterThan(85);
    expect(eight.findings[0].remedy).toMatch(/No slope will do/);
  });

  it('steps round pinned stairs at a slope of 0.5, and not at less', () => {
    const surface = shape(pinnedStairs(), { slopeLimitDeg: 30, jointHeight: 2.5 });
    expect(surface.feasible).toBe(true);
    expect(surface.copeDownMm3).toBeGreaterThan(0);
    expect(surface.buildUpMm3).toBeGreaterThan(0);
    expect(Math.abs(surface.leastMargin - 0.5 / Math.tan(Math.PI / 6))).toBeLessThan(3 * surface.column);
    const tight = shape(pinnedStairs(), { slopeLimitDeg: 20, jointHeight: 2.5, columns: 256 });
    expect(tight.feasible).toBe(false);
    expect(Math.abs(Math.tan((tight.leastSlopeDeg! * Math.PI) / 180) - 0.5)).toBeLessThan(0.02);
  });

  it('climbs the diagonal cube’s zig-zag at its own slope and no less', () => {
    const tight = shape(box(), { slopeLimitDeg: 30 }, [1, 1, 1]);
    expect(tight.feasible).toBe(false);
    expect(Math.abs(Math.tan((tight.leastSlopeDeg! * Math.PI) / 180) - Math.SQRT1_2)).toBeLessThan(0.03);
    const wide = shape(box(), { slopeLimitDeg: 37 }, [1, 1, 1]);
    expect(wide.feasible).toBe(true);
    expect(Math.abs(wide.copeDownMm3 - wide.buildUpMm3)).toBeLessThan(wide.volumeErrorMm3);
  });

  it('says when the flask is too near', () => {
    const near = shape(frustum(10, 8, 6, 64), { jointHeight: -4, margin: 5 });
    expect(near.findings.map((finding) => finding.code)).toEqual(['flask-too-near']);
    expect(shape(frustum(10, 8, 6, 64), { jointHeight: -4, margin: 8 }).findings).toEqual([]);
  });

  it('draws contours on the surface, at round heights, closed round the pattern', () => {
    const surface = shape(frustum(10, 8, 6, 96), { jointHeight: -4, contourStep: 1 });
    expect(surface.contours.map((contour) => contour.height)).toEqual([-3, -2, -1]);
    const L = Math.tan(Math.PI / 6);
    for (const { height, points, closed } of surface.contours) {
      expect(closed).toBe(true);
      for (let i = 0; i < points.length; i += 3) {
        expect(points[i + 2]).toBeCloseTo(height, 9);
        expect(Math.abs(Math.hypot(points[i], points[i + 1]) - (10 - height / L))).toBeLessThan(2 * surface.column);
      }
    }
  });

  it('digs less as the slope allowed grows', () => {
    const volumes = [30, 46, 55, 65].map((slopeLimitDeg) => {
      const { copeDownMm3, buildUpMm3 } = shape(tetrahedron(), { slopeLimitDeg, jointHeight: 0, columns: 96 });
      return copeDownMm3 + buildUpMm3;
    });
    for (let i = 1; i < volumes.length; i++) expect(volumes[i]).toBeLessThan(volumes[i - 1]);
  });

  it('moves with the pattern’s other way up', () => {
    const a = shape(pinnedStairs(), { jointHeight: 2.5 });
    const b = shape(pinnedStairs(), { jointHeight: -2.5 }, [0, 0, -1]);
    expect(Math.abs(a.copeDownMm3 - b.buildUpMm3)).toBeLessThan(a.volumeErrorMm3);
    expect(Math.abs(a.buildUpMm3 - b.copeDownMm3)).toBeLessThan(a.volumeErrorMm3);
  });

  it('takes wider columns rather than a plan without bounds', () => {
    const surface = shape(box([0, 0, 0], [2, 2, 20]), { jointHeight: 30, slopeLimitDeg: 5, columns: 128 });
    expect(surface.heights.length).toBeLessThanOrEqual(500_000);
    expect(surface.feasible).toBe(true);
    expect(() => shape(box(), { jointHeight: 500 })).toThrow(/jointHeight/);
  });

  it('refuses nonsense and is the same every time', () => {
    expect(() => shape(box(), { slopeLimitDeg: 0 })).toThrow(/slopeLimitDeg/);
    expect(() => shape(box(), { slopeLimitDeg: 90 })).toThrow(/slopeLimitDeg/);
    expect(() => shape(box(), { margin: -1 })).toThrow(/margin/);
    expect(() => shape(box(), { jointHeight: Infinity })).toThrow(/jointHeight/);
    expect(shape(tetrahedron(), { columns: 48 })).toEqual(shape(tetrahedron(), { columns: 48 }));
  });
});

describe('floodSand', () => {
  it('goes round a wall, never through it', () => {
    const [nx, ny] = [41, 41];
    const sand = new Uint8Array(nx * ny).fill(1);
    for (let y = 0; y < 31; y++) sand[y * nx + 20] = 0;
    const plan = { nx, ny, sand };
    const { heights, sources } = floodSand(plan, { columns: [10], heights: [5], sources: [7] }, 2);
    // From (10, 0) round the wall's end at (20, 31) to (30, 0).
    const exact = 5 + 2 * 2 * Math.hypot(10, 31);
    expect(Math.abs(heights[30] - exact) / exact).toBeLessThan(0.03);
    expect(heights[20]).toBe(Infinity);
    expect(sources[30]).toBe(7);
    expect(sources[20]).toBe(-1);
  });
});

describe('traceContour', () => {
  it('closes round a hill, stops at holes, and parts a saddle by its middle', () => {
    const n = 21;
    const hill = Float64Array.from({ length: n * n }, (_, c) => 10 - Math.hypot((c % n) - 10, Math.floor(c / n) - 10));
    const [ring] = traceContour(hill, n, n, 5);
    expect(ring.closed).toBe(true);
    expect(traceContour(hill, n, n, 20)).toEqual([]);
    const holed = hill.map((h, c) => (c === 10 * n + 15 ? NaN : h));
    expect(traceContour(holed, n, n, 5).some((line) => !line.closed)).toBe(true);
    expect(traceContour(Float64Array.of(0, 1, 1, 0), 2, 2, 0.5)).toHaveLength(2);
  });
});
