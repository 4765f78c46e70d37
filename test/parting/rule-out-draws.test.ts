/** Draws ruled out by faces alone: closed forms, and never one that a cast shows to be free. */
import { describe, expect, it } from 'vitest';
import { dot, drainSteps, scale, type Vec3 } from '@oddside/core';
import { advisePartings } from '../../packages/parting/src/advise-partings.js';
import { castColumns } from '../../packages/parting/src/cast-columns.js';
import { hullSteps } from '../../packages/parting/src/hull-around.js';
import { sumColumns } from '../../packages/parting/src/measure-columns.js';
import {
  readyRuling,
  ruleOutDraw,
  ruleOutDraws,
  type DrawRuling,
  type RuleOutOptions,
} from '../../packages/parting/src/rule-out-draws.js';
import { windingAt } from '../../packages/parting/src/probe-surface.js';
import { sampleDirections } from '../../packages/parting/src/sample-directions.js';
import { leastFacing, mostFacing, sumFacing } from '../../packages/parting/src/sum-facing.js';
import * as s from '../helpers/shapes.js';
import { bunnyMesh } from '../helpers/scans.js';

const ready = (mesh: s.Mesh, options?: Partial<RuleOutOptions>): Promise<DrawRuling> =>
  readyRuling(s.asPattern(mesh), options);
const tilt = (deg: number, turn = 0.37): Vec3 => {
  const [sine, cosine] = [Math.sin((deg * Math.PI) / 180), Math.cos((deg * Math.PI) / 180)];
  return [sine * Math.cos(turn), sine * Math.sin(turn), cosine];
};
const AXES: readonly Vec3[] = [
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
];

/** Twice the area vectors' halves, face by face: what the sums stand for. */
function areasOf({ positions: p, triangles: t }: s.Mesh): Float64Array {
  const areas: number[] = [];
  for (let i = 0; i < t.length; i += 3) {
    const [a, b, c] = [0, 1, 2].map((k) => p.subarray(3 * t[i + k], 3 * t[i + k] + 3));
    const [e, f] = [b.map((x, k) => x - a[k]), c.map((x, k) => x - a[k])];
    areas.push((e[1] * f[2] - e[2] * f[1]) / 2, (e[2] * f[0] - e[0] * f[2]) / 2, (e[0] * f[1] - e[1] * f[0]) / 2);
  }
  return Float64Array.from(areas);
}
function facing(areas: Float64Array, d: Vec3): number {
  let total = 0;
  for (let i = 0; i < areas.length; i += 3)
    total += Math.abs(areas[i] * d[0] + areas[i + 1] * d[1] + areas[i + 2] * d[2]);
  return total / 2;
}

/** A place in the sand close to a re-entrant edge: off it by a ten-millionth, between its faces. */
function besideEdge({ edges }: DrawRuling, where: Vec3): Vec3 {
  const e = Array.from({ length: edges.count }, (_, i) => i).find(
    (i) =>
      edges.places[3 * i] === where[0] && edges.places[3 * i + 1] === where[1] && edges.places[3 * i + 2] === where[2],
  )!;
  return where.map((x, k) => x + 1e-7 * (edges.normals[6 * e + k] + edges.normals[6 * e + 3 + k])) as unknown as Vec3;
}

/** Whether a place is sand and has metal before it and behind it along a draw: a proof that needs no columns. */
function heldAt(mesh: s.Mesh, at: Vec3, d: Vec3): boolean {
  const { positions: p, triangles: t } = mesh;
  const sides = new Set<number>();
  for (let i = 0; i < t.length; i += 3) {
    // Where the line meets the triangle (Möller and Trumbore).
    const [a, b, c] = [0, 1, 2].map((k) => [...p.subarray(3 * t[i + k], 3 * t[i + k] + 3)]);
    const [e, f, o] = [b.map((x, k) => x - a[k]), c.map((x, k) => x - a[k]), at.map((x, k) => x - a[k])];
    const crossed = (u: readonly number[], v: readonly number[]): number[] => [
      u[1] * v[2] - u[2] * v[1],
      u[2] * v[0] - u[0] * v[2],
      u[0] * v[1] - u[1] * v[0],
    ];
    const dotted = (u: readonly number[], v: readonly number[]): number => u[0] * v[0] + u[1] * v[1] + u[2] * v[2];
    const h = crossed(d, f);
    const flat = dotted(e, h);
    if (flat === 0) continue;
    const u = dotted(o, h) / flat;
    const v = dotted(d, crossed(o, e)) / flat;
    if (u > 0 && v > 0 && u + v < 1) sides.add(Math.sign(dotted(f, crossed(o, e)) / flat));
  }
  return windingAt(s.asPattern(mesh), at) === 0 && sides.size === 2;
}

describe('ruleOutDraw', () => {
  it('O5–O7 a ring R = 1, r = 0.4: surface over shadow .82, .97, 1.13, 1.52 at 0, 60, 75, 90°; rules out the last two by it', async () => {
    const ruling = await ready(s.torus(1, 0.4, 120, 60));
    const shadows = { ...ruling, edges: { ...ruling.edges, count: 0 } };
    const found = [0, 60, 75, 90].map((deg) => ruleOutDraw(shadows, tilt(deg)));
    expect(found.map(({ facingMm2, shadowMm2 }) => Number((facingMm2 / shadowMm2).toFixed(2)))).toEqual([
      0.82, 0.97, 1.13, 1.52,
    ]);
    // 60° holds sand as well (O7: from 50.77°), but this sign does not see it.
    expect(found.map(({ ruledOut }) => ruledOut)).toEqual([false, false, true, true]);
    expect(found[3]).toMatchObject({ by: 'shadow too small', where: null });
    // Ring 4π²Rr; hull: the ring's outer half 2π²Rr + 4πr², and a disc of radius R on either side.
    const areas = 4 * Math.PI ** 2 * 0.4 + 2 * Math.PI ** 2 * 0.4 + 4 * Math.PI * 0.16 + 2 * Math.PI;
    for (const { facingMm2, shadowMm2, capDeg } of found.slice(2)) {
      const radians = (2 * (facingMm2 - shadowMm2)) / areas;
      expect(capDeg / ((radians * 180) / Math.PI)).toBeCloseTo(1, 2);
    }
  });

  it('never rules out a draw of a convex body, nor one along which a body is known to draw', async () => {
    for (const mesh of [s.box(), s.sphere(5, 3), s.tetrahedron(), s.cylinder(2, 5, 48), s.frustum(3, 2, 4, 48)]) {
      const ruling = await ready(s.rotate(mesh, [1, 2, 3], 31));
      expect(ruling.speaks).toBe(true);
      expect(ruling.edges.count).toBe(0);
      for (const d of [...sampleDirections(300), ...AXES]) expect(ruleOutDraw(ruling, d).ruledOut).toBe(false);
    }
    const draws: [s.Mesh, readonly Vec3[]][] = [
      [s.box(), AXES],
      [s.lBracket(), [...AXES, [1, 0, 1]]],
      [s.pinnedStairs(), [[0, 0, 1]]],
      [s.spiralStair(8), [[0, 0, 1]]],
      [s.plateWithRoundHole(10, 2, 2, 32), [[0, 0, 1]]],
      [s.blockWithRoundPocket(10, 4, 2, 2, 2, 32), [[0, 0, 1]]],
      [s.napkinRing(5, 2), [[0, 0, 1]]],
      [s.pulley(5, 3, 2, 1, 32), AXES.slice(0, 2)],
      [s.uNotch(), AXES.slice(0, 2)],
      [s.dovetail(), [[0, 1, 0]]],
      [s.torus(1, 0.4, 96, 48), [tilt(0), tilt(30), tilt(50)]],
      [s.dumbbell(2, 3, 1, 32, 24), AXES.slice(0, 2)],
    ];
    for (const [mesh, ways] of draws) {
      for (const seed of [1, 2]) {
        const { axis, deg } = s.randomRotation(seed);
        const ruling = await ready(s.rotate(mesh, axis, deg));
        expect(ruling.speaks).toBe(true);
        for (const way of ways) expect(ruleOutDraw(ruling, s.turnPoint(way, axis, deg)).ruledOut).toBe(false);
      }
    }
  });

  it('O10 a square pocket: its re-entrant edges rule out all but the three axes across its walls', async () => {
    const ruling = await ready(s.blockWithSquarePocket(4, 3, 1, 1.5, 2));
    // Four edges of wall and floor, four of wall and wall.
    expect(ruling.edges.count).toBe(8);
    const edges = { ...ruling, hull: null };
    for (const d of sampleDirections(500)) {
      const found = ruleOutDraw(edges, d);
      expect(found).toMatchObject({ ruledOut: true, by: 're-entrant edge' });
    }
    for (const d of AXES) expect(ruleOutDraw(edges, d).ruledOut).toBe(false);
    // A thousandth of a degree off the axis is enough to hold sand (G = w l² t / 2), and enough to be seen.
    expect(ruleOutDraw(edges, tilt(0.001)).ruledOut).toBe(true);
    // In the plane of two walls and the axis only the walls across count, and the cap ends where a face is upright.
    expect(ruleOutDraw(edges, [Math.sin(0.3), 0, Math.cos(0.3)]).capDeg).toBeCloseTo(
      (Math.sin(0.3) * 180) / Math.PI,
      3,
    );
  });

  it('O12 a pocket with draft: no draw within its draft is ruled out, those just beyond it are', async () => {
    const ruling = await ready(s.blockWithRoundPocket(4, 3, 0.8, 0.6, 1, 96));
    // Facets of the wall turn by 3.75° only; wall and floor by 79°.
    const draft = (Math.atan(0.2) * 180) / Math.PI;
    for (const turn of [0.1, 1, 2, 4]) {
      expect(ruleOutDraw(ruling, tilt(0.98 * draft, turn)).ruledOut).toBe(false);
      expect(ruleOutDraw(ruling, tilt(1.02 * draft, turn)).ruledOut).toBe(true);
    }
  });

  it('O31 two arms pulled sideways: no re-entrant edge holds them, the surplus of surface does', async () => {
    const ruling = await ready(s.twoArms());
    const sideways = ruleOutDraw(ruling, [1, 0, 0]);
    expect(ruleOutDraw({ ...ruling, hull: null }, [1, 0, 0]).ruledOut).toBe(false);
    expect(sideways).toMatchObject({ ruledOut: true, by: 'shadow too small' });
    // Faces 3 + 2 wide look along x, the shadow is 3.
    expect(sideways.facingMm2).toBeCloseTo(5, 3);
    expect(sideways.shadowMm2).toBeCloseTo(3, 2);
    for (const d of AXES.slice(1)) expect(ruleOutDraw(ruling, d).ruledOut).toBe(false);
  });

  it('O22 a void rules out every draw', async () => {
    const found = await ruleOutDraws(s.asPattern(s.translate(s.hollowCube(), [1e3, 0, 0])), sampleDirections(50));
    expect(found.counts).toEqual({ 'enclosed void': 46, 're-entrant edge': 0, 'shadow too small': 0 });
    expect(found.draws[0].where![0]).toBeGreaterThan(1e3);
    expect(found.sentence).toBe('46 of 46 draws certainly hold sand; of the others the faces alone tell nothing.');
  });

  it('is never wrong: what it rules out holds sand in fine columns, and so does its whole cap (seed 41)', async () => {
    const random = s.seededRandom(41);
    const counts = { 're-entrant edge': 0, 'shadow too small': 0, 'enclosed void': 0 };
    for (let i = 0; i < 60; i++) {
      const cells: [number, number, number][] = [];
      for (let c = 0; c < 27; c++) if (random() < 0.8) cells.push([c % 3, Math.floor(c / 3) % 3, Math.floor(c / 9)]);
      const { axis, deg } = s.randomRotation(i);
      const mesh = s.rotate(i % 3 ? s.polycube(...cells) : s.torus(3, 0.5 + random(), 40, 20), axis, deg);
      const pattern = s.asPattern(mesh);
      const ruling = await readyRuling(pattern, { smoothDeg: i % 2 === 0 ? 0 : 30 });
      if (!ruling.speaks) continue;
      const edgesOnly = { ...ruling, hull: null };
      for (let k = 0; k < 12; k++) {
        const d: Vec3 = k < 3 ? s.turnPoint(AXES[k], axis, deg) : s.randomDirection(random);
        for (const asked of [ruling, edgesOnly]) {
          const found = ruleOutDraw(asked, d);
          if (!found.by) continue;
          counts[found.by]++;
          const turn = s.randomDirection(random);
          const side = turn.map((x, j) => x - d[j] * (turn[0] * d[0] + turn[1] * d[1] + turn[2] * d[2]));
          const reach = Math.min(Math.PI / 2, (0.9 * found.capDeg * Math.PI) / 180);
          const across = Math.hypot(...side);
          const edge = d.map((x, j) => x * Math.cos(reach) + (side[j] / across) * Math.sin(reach)) as unknown as Vec3;
          for (const draw of [d, edge]) {
            if (found.by === 'shadow too small') {
              const { backDraftMm3, solidMm3 } = sumColumns(castColumns(pattern, draw, 256));
              expect(backDraftMm3).toBeGreaterThan(1e-6 * solidMm3);
            } else {
              expect(heldAt(mesh, besideEdge(ruling, found.where!), draw)).toBe(true);
            }
          }
        }
      }
    }
    expect(counts['re-entrant edge']).toBeGreaterThan(200);
    expect(counts['shadow too small']).toBeGreaterThan(20);
  });

  it('gives the same however the solid is turned, moved, scaled, mirrored by the draw, or its triangles are put', async () => {
    const mesh = s.blockyMug();
    const plain = await ready(mesh);
    const { axis, deg } = s.randomRotation(7);
    const moved = await ready(
      s.translate(s.rotate(s.scale(s.shuffleTriangles(mesh, 3), 25), axis, deg), [900, -800, 700]),
    );
    for (const d of [...sampleDirections(80), ...AXES]) {
      const [one, other] = [ruleOutDraw(plain, d), ruleOutDraw(moved, s.turnPoint(d, axis, deg))];
      expect(other.by).toBe(one.by);
      expect(Math.abs(other.capDeg - one.capDeg)).toBeLessThan(0.05);
      expect(Math.abs(other.facingMm2 / 625 - one.facingMm2)).toBeLessThan(1e-4 * one.facingMm2);
      expect(Math.abs(other.shadowMm2 / 625 - one.shadowMm2)).toBeLessThan(1e-3 * one.shadowMm2);
      const opposite = ruleOutDraw(plain, scale(d, -3));
      expect(opposite.by).toBe(one.by);
      expect(opposite.capDeg).toBeCloseTo(one.capDeg, 9);
    }
  });

  it('with a scan’s noise allowed for, roughness alone rules out nothing', async () => {
    const rough = s.roughen(s.sphere(10, 4), 0.02, 5);
    const strict = await ready(rough, { smoothDeg: 0 });
    const fair = await ready(rough, { noise: 0.02, smoothDeg: 0 });
    const draws = sampleDirections(81);
    expect(draws.filter((d) => ruleOutDraw(strict, d).ruledOut).length).toBeGreaterThan(10);
    expect(draws.filter((d) => ruleOutDraw(fair, d).ruledOut).length).toBe(0);
    // A ring across its axis is ruled out all the same.
    const ring = await ready(s.roughen(s.torus(10, 4, 96, 48), 0.005, 5), { noise: 0.005, smoothDeg: 0 });
    expect(ruleOutDraw(ring, tilt(90)).by).toBe('shadow too small');
    expect(ruleOutDraw(ring, tilt(0)).ruledOut).toBe(false);
  });

  it('is silent where it is not settled what is metal', async () => {
    for (const mesh of [
      s.keepTriangles(s.twoArms(), (t) => t !== 0),
      s.merge(s.box(), s.translate(s.box(), [0.5, 0.4, 0.3])),
      s.merge(s.box(), s.scale(s.translate(s.box(), [1, 1, 1]), 0.25)),
      s.turnOver(s.twoArms()),
      s.merge(s.box(), s.translate(s.box(), [1, 0, 0])),
    ]) {
      const found = await ruleOutDraws(s.asPattern(mesh), sampleDirections(20));
      expect(found.speaks).toBe(false);
      expect(found.draws.every(({ ruledOut }) => !ruledOut)).toBe(true);
      expect(found.sentence).toMatch(/^Nothing is ruled out/);
    }
    // Two bodies apart are fine; drawn along the line through both they hold the sand between.
    const apart = await ready(s.merge(s.box(), s.translate(s.box(), [3, 0, 0])));
    expect(ruleOutDraw(apart, [1, 0, 0]).by).toBe('shadow too small');
    expect(ruleOutDraw(apart, [0, 0, 1]).ruledOut).toBe(false);
  });

  it('refuses nonsense, reports progress to one 1, and stops on abort', async () => {
    const pattern = s.asPattern(s.blockyMug());
    await expect(readyRuling(pattern, { noise: -1 })).rejects.toThrow(/noise/);
    await expect(readyRuling(pattern, { smoothDeg: 91 })).rejects.toThrow(/smoothDeg/);
    await expect(ruleOutDraws(pattern, [[0, 0, 0]])).rejects.toThrow(/direction/i);
    const seen: number[] = [];
    await ruleOutDraws(pattern, sampleDirections(100), { onProgress: (x) => seen.push(x) });
    expect(seen.filter((x) => x === 1)).toHaveLength(1);
    expect(seen).toEqual(seen.toSorted((a, b) => a - b));
    const stop = new AbortController();
    stop.abort(new Error('enough'));
    await expect(ruleOutDraws(pattern, [], { signal: stop.signal })).rejects.toThrow('enough');
  });
});

describe('hullSteps', () => {
  it('has every corner within, is closed, and is no larger than it must be', () => {
    for (const [mesh, area] of [
      [s.box([0, 0, 0], [1, 2, 3]), 22],
      [s.blockyMug(), null],
      [s.pinnedStairs(), null],
      [s.rotate(s.torus(3, 1, 60, 30), [1, 1, 0], 20), null],
      [s.sphere(5, 3), null],
      [s.translate(s.rotate(s.twoPocketCube(2), [1, 2, 3], 50), [1e4, 0, 0]), 216],
      [bunnyMesh(), null],
    ] as const) {
      const hull = drainSteps(hullSteps(mesh.positions))!;
      const sums = [0, 1, 2].map((k) => hull.areas.reduce((sum, x, i) => (i % 3 === k ? sum + x : sum), 0));
      const whole = sumFacing(hull.areas).areaMm2;
      expect(Math.hypot(...sums)).toBeLessThan(1e-9 * whole);
      expect(hull.off).toBeLessThan(1e-4 * hull.diagonal);
      if (area !== null) expect(Math.abs(whole / area - 1)).toBeLessThan(1e-3);
      // The shadow of the hull, by its faces and as the outline of the projected corners.
      for (const d of sampleDirections(12)) {
        const outline = hullArea(mesh, d);
        expect(Math.abs(facing(hull.areas, d) - outline)).toBeLessThan(7 * hull.off * hull.diagonal);
      }
    }
    expect(drainSteps(hullSteps(new Float64Array([0, 0, 0, 1, 0, 0, 0, 1, 0, 1, 1, 0])))).toBeNull();
  });
});

/** Area of the outline round all corners seen along a draw (Andrew's monotone chain, exact enough in doubles). */
function hullArea({ positions: p }: s.Mesh, d: Vec3): number {
  const u = Math.abs(d[0]) < 0.6 ? ([1, 0, 0] as const) : ([0, 1, 0] as const);
  const v = [d[1] * u[2] - d[2] * u[1], d[2] * u[0] - d[0] * u[2], d[0] * u[1] - d[1] * u[0]];
  const across = Math.hypot(...v);
  const w = v.map((x) => x / across);
  const q = [w[1] * d[2] - w[2] * d[1], w[2] * d[0] - w[0] * d[2], w[0] * d[1] - w[1] * d[0]];
  const points: [number, number][] = [];
  for (let i = 0; i < p.length; i += 3) {
    const [x, y, z] = [p[i] - p[0], p[i + 1] - p[1], p[i + 2] - p[2]];
    points.push([w[0] * x + w[1] * y + w[2] * z, q[0] * x + q[1] * y + q[2] * z]);
  }
  points.sort((a, b) => a[0] - b[0] || a[1] - b[1]);
  const half = (order: [number, number][]): [number, number][] => {
    const chain: [number, number][] = [];
    for (const c of order) {
      for (;;) {
        const [a, b] = chain.slice(-2);
        if (!b || (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]) > 0) break;
        chain.pop();
      }
      chain.push(c);
    }
    return chain.slice(0, -1);
  };
  const ring = [...half(points), ...half(points.toReversed())];
  return ring.reduce((sum, [x, y], i) => {
    const [nx, ny] = ring[(i + 1) % ring.length];
    return sum + (x * ny - nx * y) / 2;
  }, 0);
}

describe('sumFacing', () => {
  it('bounds what looks along a draw from both sides, closely; all draws together come to a quarter of the area (Cauchy)', () => {
    for (const mesh of [s.torus(3, 1, 60, 30), s.blockyMug(), bunnyMesh()]) {
      const areas = areasOf(mesh);
      const sums = sumFacing(areas);
      const draws = sampleDirections(2000);
      let mean = 0;
      for (const d of draws) {
        const true_ = facing(areas, d);
        const [low, high] = [leastFacing(sums, ...d), mostFacing(sums, ...d)];
        expect(low).toBeLessThanOrEqual(true_);
        expect(high).toBeGreaterThanOrEqual(true_);
        expect((high - low) / true_).toBeLessThan(0.003);
        mean += low / draws.length;
      }
      expect(mean / (sums.areaMm2 / 4)).toBeCloseTo(1, 2);
      expect(sums.areaMm2).toBeCloseTo(s.areaOf(mesh), 6);
    }
  });

  it('counts the slack of every face against the lower bound', () => {
    const areas = areasOf(s.box([0, 0, 0], [2, 3, 4]));
    const sums = sumFacing(areas, new Float64Array(areas.length / 3).fill(0.5));
    // Twelve faces' slacks of a half, those of upright faces not taken off twice: 12 - (2 + 2 sides) · 2 · 0.5 / 2.
    expect(leastFacing(sums, 0, 0, 1)).toBeCloseTo(6 - 1, 8);
  });
});

describe('a search where limits forbid all back draft', () => {
  it('casts no sample that faces rule out, and finds the one axis that draws all the same', async () => {
    const pocket = s.asPattern(s.blockWithSquarePocket(10, 10, 4, 4, 6));
    const options = { samples: 400, joints: false } as const;
    const strict = await advisePartings(pocket, { ...options, limits: { backDraftMm3: 0 } });
    const free = await advisePartings(pocket, options);
    expect(free.search.ruledOut).toBe(0);
    expect(strict.search.ruledOut).toBeGreaterThan(390);
    expect(strict.search.drawsLookedAt).toBeLessThan(free.search.drawsLookedAt / 3);
    expect(strict.candidates.length).toBeGreaterThan(0);
    for (const { assessment } of strict.candidates) expect(assessment.backDraftMm3).toBeLessThan(1e-9 * 1000);
    const along = free.candidates.filter(({ assessment }) => assessment.backDraftMm3 < 1e-6);
    const [first] = strict.candidates;
    expect(along.some(({ direction }) => Math.abs(dot(direction, first.direction)) > 1 - 1e-9)).toBe(true);
  });

  it('casts all of them where none is left, so that it can say what they hold', async () => {
    const advice = await advisePartings(s.asPattern(s.hollowCube()), { samples: 200, limits: { backDraftMm3: 0 } });
    expect(advice.search.ruledOut).toBe(0);
    expect(advice.candidates).toHaveLength(0);
    expect(advice.rejected.length).toBeGreaterThan(0);
  });
});
