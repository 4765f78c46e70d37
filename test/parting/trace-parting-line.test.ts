/** Parting lines of solids in closed form; derived by hand, no outside source. */
import { describe, expect, it } from 'vitest';
import type { Vec3 } from '@oddside/core';
import { assessDraw } from '../../packages/parting/src/assess-draw.js';
import type { PartingLine } from '../../packages/parting/src/parting-line.js';
import { tracePartingLine, type TracePartingLineOptions } from '../../packages/parting/src/trace-parting-line.js';
import {
  asPattern,
  box,
  cylinder,
  frustum,
  pinnedStairs,
  plateWithSquareHole,
  pulley,
  rotate,
  scale,
  seededRandom,
  sphere,
  spiralStair,
  tetrahedron,
  torus,
  translate,
  type Mesh,
} from '../helpers/shapes.js';

const UP: Vec3 = [0, 0, 1];

function trace(
  mesh: Mesh,
  direction: Vec3 = UP,
  columns = 128,
  options?: Partial<TracePartingLineOptions>,
): PartingLine {
  const pattern = asPattern(mesh);
  return tracePartingLine(pattern, assessDraw(pattern, direction, { columns }), options);
}

describe('tracePartingLine', () => {
  it('runs level round a sphere’s greatest circle, through its own corners, not a staircase', () => {
    const line = trace(sphere(10, 4));
    expect(line.loops).toHaveLength(1);
    const [loop] = line.loops;
    // Off the icosphere's corners the rim waves a little; the true circle is 20π round.
    expect(Math.abs(loop.planLength / (20 * Math.PI) - 1)).toBeLessThan(0.004);
    expect(Math.abs(loop.areaMm2 / (100 * Math.PI) - 1)).toBeLessThan(0.004);
    expect(line.rise).toBeLessThan(0.3);
    for (let i = 0; i < loop.points.length; i += 3) {
      const r = Math.hypot(loop.points[i], loop.points[i + 1], loop.points[i + 2]);
      expect(r).toBeLessThan(10 + 1e-9);
      expect(r).toBeGreaterThan(9.95);
    }
  });

  it('may lie at any height of a box standing upright, and lies in the joint', () => {
    const line = trace(translate(box([0, 0, 0], [3, 2, 1]), [0, 0, 50]));
    expect(line.flat!.low).toBeCloseTo(50, 9);
    expect(line.flat!.high).toBeCloseTo(51, 9);
    expect(line.plane).toMatchObject({ fits: true, tiltDeg: 0, miss: 0 });
    expect(line.rise + line.fall).toBeLessThan(1e-9);
    expect(Math.abs(line.length - 10)).toBeLessThan(0.05);
    expect(line.loops[0].climb).toBe(0);
  });

  it('zig-zags round a cube drawn along its diagonal: six edges that each rise 1 in √2', () => {
    const d: Vec3 = [1, 1, 1];
    const line = trace(box(), d, 256);
    expect(line.loops).toHaveLength(1);
    const [loop] = line.loops;
    expect(Math.abs(loop.areaMm2 - Math.sqrt(3))).toBeLessThan(0.01);
    expect(Math.abs(loop.highest - loop.lowest - 1 / Math.sqrt(3))).toBeLessThan(0.01);
    expect(Math.abs(loop.climb - 3 / Math.sqrt(3))).toBeLessThan(0.03);
    expect(Math.abs(Math.tan((loop.steepestDeg * Math.PI) / 180) - Math.SQRT1_2)).toBeLessThan(0.01);
    expect(Math.abs(loop.length - 6)).toBeLessThan(0.05);
    expect(line.flat).toBeNull();
    // Its corners are ±1/(2√3) off the middle and no tilt brings them nearer.
    expect(line.plane.fits).toBe(false);
    expect(Math.abs(line.plane.miss - 1 / (2 * Math.sqrt(3)))).toBeLessThan(0.01);
  });

  it('is the skew square of a tetrahedron', () => {
    const line = trace(tetrahedron(), UP, 256);
    expect(Math.abs(line.loops[0].highest - 1)).toBeLessThan(0.03);
    expect(Math.abs(line.loops[0].lowest + 1)).toBeLessThan(0.03);
    expect(line.loops[0].steepestDeg).toBeCloseTo(45, 0);
    expect(Math.abs(line.loops[0].planLength - 8)).toBeLessThan(0.05);
  });

  it('lies in a tilted plane round an ellipsoid drawn at a slant', () => {
    // Where the surface is parallel to d the point lies square to (dx/a², dy/b², dz/c²).
    const [a, b, c] = [30, 12, 10];
    const t = Math.tan((12 * Math.PI) / 180);
    const line = trace(scale(sphere(1, 5), [a, b, c]), [t, 0, 1], 256);
    const size = Math.hypot(t / a ** 2, 1 / c ** 2);
    const normal = [t / a ** 2 / size, 0, 1 / c ** 2 / size];
    expect(line.flat).toBeNull();
    expect(line.plane.miss).toBeLessThan(0.25);
    expect(line.plane.normal[0]).toBeCloseTo(normal[0], 1);
    expect(line.plane.normal[1]).toBeCloseTo(0, 2);
    expect(
      Math.abs(line.plane.tiltDeg - (Math.acos((normal[0] * t + normal[2]) / Math.hypot(t, 1)) * 180) / Math.PI),
    ).toBeLessThan(0.6);
    expect(Math.abs(line.plane.offset)).toBeLessThan(0.1);
    expect(line.rise).toBeGreaterThan(3);
  });

  it('does not fit a plane to a lying cylinder drawn at a slant: its ends are stepped', () => {
    const line = trace(rotate(cylinder(5, 40, 128), [1, 0, 0], 90), [0, Math.tan((10 * Math.PI) / 180), 1], 256);
    expect(line.plane.fits).toBe(false);
    expect(line.plane.miss).toBeGreaterThan(1);
  });

  it('goes round the rim of a taper, at its widest end', () => {
    const line = trace(frustum(6, 5, 8, 96));
    expect(line.flat!.low).toBeCloseTo(0, 6);
    expect(line.flat!.high).toBeCloseTo(0, 3);
    expect(trace(frustum(5, 6, 8, 96)).flat!.high).toBeCloseTo(8, 3);
  });

  it('prices a line that leaves the rim: half the rise squared times the taper, round the rim', () => {
    // Draft 1 in 40: over a band of 0.1 the wall rises 4.
    const mesh = frustum(20, 19.5, 20, 192);
    const pattern = asPattern(mesh);
    const assessment = {
      ...assessDraw(pattern, UP, { columns: 128 }),
      flat: { low: 3, high: 3, height: 3, misfitMm3: 0 },
    };
    const line = tracePartingLine(pattern, assessment, { band: 0.1 });
    expect(line.flat!.high).toBeCloseTo(4, 0);
    const exact = 2 * Math.PI * 20 * ((3 * 3) / 40 / 2);
    expect(Math.abs(line.noise.priceMm3 / exact - 1)).toBeLessThan(0.1);
    expect(tracePartingLine(pattern, assessment, { band: 0 }).noise.priceMm3).toBe(0);
  });

  it('takes a band of several columns from the columns, give or take one', () => {
    // Draft 1 in 4: over a band of 1 the wall rises 4.
    const pattern = asPattern(frustum(20, 15, 20, 192));
    const line = tracePartingLine(pattern, assessDraw(pattern, UP, { columns: 128 }), { band: 1 });
    expect(Math.abs(line.flat!.high - 4)).toBeLessThan(4 * line.column);
    expect(line.flat!.low).toBeCloseTo(0, 9);
  });

  it('has one inner loop for each through hole, with its pillar', () => {
    const line = trace(plateWithSquareHole(20, 6, 4));
    expect(line.loops.map((loop) => loop.outer)).toEqual([true, false]);
    const pillar = line.loops[1].pillar!;
    expect(Math.abs(pillar.width - 4)).toBeLessThan(0.1);
    expect(pillar.height).toBeCloseTo(6, 9);
    expect(Math.abs(pillar.slenderness - 1.5)).toBeLessThan(0.05);
    expect(line.loops[0].pillar).toBeNull();
    const ring = trace(torus(10, 3, 96, 48));
    expect(ring.loops).toHaveLength(2);
    expect(Math.abs(ring.loops[1].pillar!.width - 14)).toBeLessThan(0.1);
    expect(trace(pulley(5, 3, 4), [1, 0, 0]).loops).toHaveLength(1);
  });

  it('calls a slender pillar by its name', () => {
    const codes = trace(plateWithSquareHole(20, 12, 3)).findings.map((finding) => finding.code);
    expect(codes).toContain('slender-pillar');
    expect(trace(plateWithSquareHole(20, 3, 3)).findings).toEqual([]);
  });

  it('sees the upright shut-off of an eight-step spiral stair, 2.5 high, and none with seven', () => {
    const eight = trace(spiralStair(8), UP, 192);
    expect(eight.shutOff!.height).toBeCloseTo(2.5, 9);
    expect(Math.abs(eight.shutOff!.where[2] - 2.25)).toBeLessThan(1e-9);
    expect(eight.reliable).toBe(false);
    expect(trace(spiralStair(7), UP, 192).shutOff).toBeNull();
  });

  it('steps round pinned stairs: no plane fits, level or tilted by less than their climb', () => {
    const line = trace(pinnedStairs(), UP, 192);
    expect(line.loops).toHaveLength(1);
    // Along the sides the string needs to climb only from 2 to 3.
    expect(line.loops[0].highest).toBeCloseTo(3, 6);
    expect(line.loops[0].lowest).toBeCloseTo(2, 6);
    expect(line.loops[0].climb).toBeCloseTo(1, 6);
    expect(line.flat).toBeNull();
  });

  it('gives marks above the board and from the joint', () => {
    const line = trace(translate(tetrahedron(), [5, 6, 70]), UP, 192);
    const { stations } = line.loops[0];
    expect(stations.length).toBeGreaterThanOrEqual(24);
    for (const { point, aboveBoard, fromJoint } of stations) {
      expect(aboveBoard).toBeCloseTo(point[2] - 69, 9);
      expect(fromJoint).toBeCloseTo(point[2] - 70, 1);
    }
    expect(Math.max(...stations.map((s) => s.aboveBoard))).toBeCloseTo(line.loops[0].highest - 69, 9);
    const close = trace(box(), UP, 64, { stationSpacing: 0.5 });
    expect(close.loops[0].stations).toHaveLength(8);
  });

  it('turns with the pattern', () => {
    const axis = [2, 1, 3] as const;
    const turned = rotate(tetrahedron(), axis, 71);
    const d = rotate({ positions: Float64Array.of(0, 0, 1), triangles: new Uint32Array(0) }, axis, 71).positions;
    const a = trace(tetrahedron(), UP, 192);
    const b = trace(turned, [d[0], d[1], d[2]], 192);
    expect(Math.abs(a.length - b.length)).toBeLessThan(0.06);
    expect(Math.abs(a.rise - b.rise)).toBeLessThan(0.05);
  });

  it('refuses nonsense and changes nothing', () => {
    const pattern = asPattern(box());
    const before = pattern.positions.slice();
    const assessment = assessDraw(pattern, UP, { columns: 32 });
    expect(() => tracePartingLine(pattern, assessment, { column: 0 })).toThrow(/column/);
    expect(() => tracePartingLine(pattern, assessment, { band: -1 })).toThrow(/band/);
    expect(tracePartingLine(pattern, assessment)).toEqual(tracePartingLine(pattern, assessment));
    expect(pattern.positions).toEqual(before);
  });
});

describe('the band of a scan', () => {
  const noisy = (mesh: Mesh, sigma: number): Mesh => {
    const random = seededRandom(7);
    const normal = (): number => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
    return { positions: mesh.positions.map((x) => x + sigma * normal()), triangles: mesh.triangles };
  };

  it('widens the band of the line on a scan, and prices it', () => {
    const mesh = noisy(frustum(20, 19.6, 10, 400), 0);
    expect(trace(mesh).noise.band).toBe(0);
    const scan = trace(noisy(sphere(50, 5), 0.05), UP, 128);
    expect(scan.noise.sigma).toBeGreaterThan(0.04);
    expect(Math.abs(scan.noise.band - 2 * scan.noise.sigma)).toBeLessThan(1e-12);
    const bare = trace(noisy(sphere(50, 5), 0.05), UP, 128, { band: 0 });
    expect(scan.loops[0].climb).toBeLessThan(bare.loops[0].climb / 2);
    expect(scan.noise.priceMm3).toBeGreaterThan(0);
  });
});
