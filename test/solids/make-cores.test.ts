/** Cores, prints and core boxes of solids whose bores are known in closed form. */
import { describe, expect, it } from 'vitest';
import { assessDraw } from '@oddside/parting';
import { openSolids, type CoresMade } from '@oddside/solids';
import type { Vec3 } from '@oddside/core';
import * as s from '../helpers/shapes.js';
import { expectNear, soundVolume } from './solid-checks.js';

const solids = await openSolids();
const Z: Vec3 = [0, 0, 1];
const cube = (...holes: readonly s.Box[]): s.Mesh => s.boxesUnion([s.span([0, 60], [0, 60], [0, 60])], holes);
/** A tube along x: outer radius 20, bore 12, 80 long, both of 64 sides. */
const tube = s.rotate(s.extrude(s.circle(20, 64), 80, [s.circle(12, 64)]), [0, 1, 0], 90);

/**
 * A print of a mouth `across` wide and `area` large, `length` long, tapered by `deg`: a frustum. Its foot lies 2 % of the
 * mouth inside the core, and there it is as large as the mouth times `grown`.
 */
function printVolume(across: number, area: number, length: number, deg = 3, grown = 1, long = length): number {
  const into = 0.02 * across;
  const end = grown * (1 - (Math.tan((deg * Math.PI) / 180) * length) / (across / 2));
  const mouth = grown + ((end - grown) * into) / (into + long);
  return (area * long * (mouth * mouth + mouth * end + end * end)) / 3;
}

/** Everything sound, and what belongs together adding up. */
function expectAddsUp(made: CoresMade): void {
  const { patternMm3, coredMm3, printsMm3, withPrintsMm3, errorMm3 } = made.volumes;
  expectNear(soundVolume(made.pattern), withPrintsMm3);
  expect(Math.abs(patternMm3 + coredMm3 + printsMm3 - withPrintsMm3)).toBeLessThanOrEqual(errorMm3);
  for (const { core, volumeMm3, bodyMm3, massKg, box } of made.cores) {
    expectNear(soundVolume(core), volumeMm3);
    expect(volumeMm3).toBeGreaterThan(bodyMm3);
    expect(massKg).toBeCloseTo(volumeMm3 * 1.6e-6, 9);
    if (!box) continue;
    const { blockMm3, overMm3, underMm3, holesMm3 } = box.volumes;
    expectNear(soundVolume(box.over), overMm3);
    expectNear(soundVolume(box.under), underMm3);
    expectNear(overMm3 + underMm3 + holesMm3 + volumeMm3, blockMm3, 1e-5, 'halves + core = block');
    expect(box.proof.draws).toBe(true);
    // The columns see it too: along the box's draw the core holds no sand.
    expect(assessDraw(core, box.direction, { columns: 128 }).backDraftMm3).toBeLessThan(1e-3 * volumeMm3);
  }
}

describe('a tube with its bore across the draw', () => {
  it('has one core on two prints, in a box that comes apart', async () => {
    const made = await solids.makeCores(s.asPattern(tube), Z);
    expectAddsUp(made);
    expect(made.findings).toEqual([]);
    expect(made.proof.draws).toBe(true);
    const [core] = made.cores;
    expect(made.cores).toHaveLength(1);
    const area = s.areaBetween(s.circle(12, 64));
    expectNear(core.bodyMm3, area * 80, 1e-5);
    expect(core.prints.map(({ direction }) => direction)).toEqual([
      [-1, 0, 0],
      [1, 0, 0],
    ]);
    for (const { length, width, height } of core.prints) {
      expect([length, width, height].map((side) => Math.round(side * 1e4) / 1e4)).toEqual([24, 24, 24]);
    }
    expectNear(core.volumeMm3, area * 80 + 2 * printVolume(24, area, 24), 1e-5);
    // Seats: as much larger that the nearest wall is 0.3 away, and 0.3 longer.
    expectNear(made.volumes.printsMm3, 2 * printVolume(24, area, 24, 3, 1 + 0.3 / 12, 24.3), 1e-4);
    const box = core.box!;
    expect(box.dowels).toHaveLength(2);
    // 12 mm of wall round 24 × 24 × 128, but none at the end that is open.
    expectNear(box.volumes.blockMm3, 48 * 48 * (128 + 12), 1e-5);
    expect(Math.abs(box.opening!.where[0] - 40)).toBeCloseTo(64, 4);
    expectNear(box.volumes.overMm3, box.volumes.underMm3, 1e-4);
  });

  it('is the same however the whole lies in space', async () => {
    const { axis, deg } = s.randomRotation(8);
    const turned = s.asPattern(s.translate(s.rotate(tube, axis, deg), [70, -30, 200]));
    const made = await solids.makeCores(turned, s.turnPoint(Z, axis, deg));
    const area = s.areaBetween(s.circle(12, 64));
    expectNear(made.cores[0].volumeMm3, area * 80 + 2 * printVolume(24, area, 24), 1e-4);
    expectNear(soundVolume(made.cores[0].core), made.cores[0].volumeMm3, 1e-4);
    expect(made.proof.draws).toBe(true);
    expect(made.cores[0].box!.proof.draws).toBe(true);
  });

  it('takes length, taper, clearance and density as asked', async () => {
    const options = { printLength: 10, taperDeg: 0, clearance: 0, boxes: false, sandDensityKgM3: 2000 };
    const made = await solids.makeCores(s.asPattern(tube), Z, options);
    const area = s.areaBetween(s.circle(12, 64));
    expectNear(made.cores[0].volumeMm3, area * 100, 1e-5);
    expectNear(made.cores[0].massKg, area * 100 * 2e-6, 1e-5);
    expectNear(made.volumes.printsMm3, area * 20, 1e-5);
    expect(made.cores[0].box).toBeNull();
    expectNear(soundVolume(made.pattern), s.areaBetween(s.circle(20, 64)) * 80 + area * 20, 1e-5);
  });
});

describe('a blind hole', () => {
  it('has a print that outweighs the core beyond it', async () => {
    const made = await solids.makeCores(s.asPattern(cube(s.span([40, 60], [20, 40], [20, 40]))), Z);
    expectAddsUp(made);
    expect(made.findings).toEqual([]);
    const [core] = made.cores;
    expect(core.prints).toHaveLength(1);
    // length² × 400 / 2 = 1.25 × 8000 × 10.
    expect(core.prints[0].length).toBeCloseTo(Math.sqrt(500), 4);
    expect(core.prints[0].direction).toEqual([1, 0, 0]);
    expectNear(core.volumeMm3, 8000 + printVolume(20, 400, Math.sqrt(500)), 1e-5);
  });

  it('under a joint along the top has a print drawn up to the joint, and so has the core', async () => {
    const pattern = s.asPattern(cube(s.span([40, 60], [20, 40], [20, 40])));
    const options = { joint: { kind: 'level', height: 60 }, printLength: 20, taperDeg: 0, clearance: 0 } as const;
    const made = await solids.makeCores(pattern, Z, options);
    expectAddsUp(made);
    expect(made.proof.draws).toBe(true);
    // The print from 20 to 40, and over it the same again from 40 to 60.
    expectNear(made.cores[0].volumeMm3, 8000 + 8000 + 8000, 1e-5);
    expectNear(made.volumes.printsMm3, 16_000, 1e-5);
    expect(s.boundsOf(made.pattern).max.map((side) => Math.round(side * 1e3) / 1e3)).toEqual([80, 60, 60]);
  });

  it('has a shorter print where metal stands before it, and says so', async () => {
    const wall = s.boxesUnion(
      [s.span([0, 60], [0, 60], [0, 60]), s.span([60, 90], [0, 60], [0, 4]), s.span([74, 90], [0, 60], [4, 60])],
      [s.span([40, 60], [20, 40], [20, 40])],
    );
    const made = await solids.makeCores(s.asPattern(wall), Z, { boxes: false });
    expect(made.findings.map(({ code }) => code)).toContain('short-core-print');
    expect(made.cores[0].prints[0].length).toBeCloseTo(Math.sqrt(500) / 2, 4);
  });
});

describe('a groove all round', () => {
  // Flanges of radius 30 and 8 thick, between them a waist of radius 20 and 10 high: a groove 10 deep.
  const sheave = s.asPattern(s.pulley(30, 20, 10, 8, 48));
  const rim = s.circle(30, 48);
  const groove = (s.areaBetween(rim) - s.areaBetween(s.circle(20, 48))) * 10;
  const round = 2 * 48 * 30 * Math.sin(Math.PI / 48);

  it('has a ring for a core, with one print all round: the rim grown by its length', async () => {
    const options = { taperDeg: 0, clearance: 0 } as const;
    const made = await solids.makeCores(sheave, Z, options);
    expectAddsUp(made);
    expect(made.findings).toEqual([]);
    expect(made.proof.draws).toBe(true);
    expect(made.cores).toHaveLength(1);
    const [{ core, bodyMm3, volumeMm3, prints, box }] = made.cores;
    expectNear(bodyMm3, groove, 1e-5);
    // As long as the mouth is high. Outside an outline (Steiner): its length times 10, and a circle in all its corners, cut straight.
    const [least, most] = [0.96, 1].map((share) => (round * 10 + share * Math.PI * 100) * 10);
    expect(volumeMm3 - bodyMm3).toBeGreaterThan(least);
    expect(volumeMm3 - bodyMm3).toBeLessThan(most);
    expectNear(made.volumes.printsMm3, volumeMm3 - bodyMm3, 1e-5);
    expect(prints).toEqual([
      {
        where: [0, 0, 13].map((at) => expect.closeTo(at, 3) as number),
        direction: [0, 0, 1],
        length: expect.closeTo(10, 4) as number,
        width: expect.closeTo(60, 3) as number,
        height: expect.closeTo(10, 4) as number,
      },
    ]);
    const { min, max } = s.boundsOf(core);
    expect([min[2], max[2]].map((x) => Math.round(x * 1e3) / 1e3)).toEqual([8, 18]);
    expect(max[0]).toBeCloseTo(40, 1);
    // Shut all round: each half is rammed by itself.
    expect(box!.opening).toBeNull();
    expectNear(box!.volumes.blockMm3, (80 + 24) * (80 + 24) * (10 + 24), 1e-2);
    for (const half of [box!.over, box!.under]) expect((await solids.makeSolid(half)).bodies).toBe(1);
  });

  it('tapers from the joint both ways, in a seat with room, and draws along it', async () => {
    const joint = { kind: 'level', height: 11 } as const;
    const made = await solids.makeCores(sheave, Z, { joint, taperDeg: 5, clearance: 0.3 });
    expectAddsUp(made);
    expect(made.proof.draws).toBe(true);
    // From 11 to 18 and to 8 the seat draws in by so much on its side.
    const t = Math.tan((5 * Math.PI) / 180);
    const { positions } = made.cores[0].core;
    const reachAt = (height: number): number => {
      let most = 0;
      for (let k = 0; k < positions.length; k += 3) {
        if (Math.abs(positions[k + 2] - height) < 1e-3)
          most = Math.max(most, Math.hypot(positions[k], positions[k + 1]));
      }
      return most;
    };
    // To the sagitta of a fan of nine ways.
    expect(reachAt(11)).toBeCloseTo(40, 1);
    expect(reachAt(18)).toBeCloseTo(40 - 7 * t, 1);
    expect(reachAt(8)).toBeCloseTo(40 - 3 * t, 1);
    expect(Math.max(...s.boundsOf(made.pattern).max)).toBeCloseTo(40.3 + 0.3 * t, 1);
    const { min, max } = s.boundsOf(made.pattern);
    expect([min[2], max[2]].map((x) => Math.round(x * 1e3) / 1e3)).toEqual([0, 26]);
  });

  it('under a joint along the top has its print drawn up to the joint', async () => {
    const joint = { kind: 'level', height: 26 } as const;
    const made = await solids.makeCores(sheave, Z, { joint, taperDeg: 0, clearance: 0 });
    expectAddsUp(made);
    expect(made.proof.draws).toBe(true);
    expect(s.boundsOf(made.cores[0].core).max[2]).toBeCloseTo(26, 3);
  });

  it('is the same however the whole lies in space', async () => {
    const { axis, deg } = s.randomRotation(3);
    const mesh = s.translate(s.rotate(s.pulley(30, 20, 10, 8, 48), axis, deg), [70, -30, 200]);
    const [straight, turned] = await Promise.all([
      solids.makeCores(sheave, Z, { boxes: false }),
      solids.makeCores(s.asPattern(mesh), s.turnPoint(Z, axis, deg), { boxes: false }),
    ]);
    expectNear(turned.cores[0].volumeMm3, straight.cores[0].volumeMm3, 1e-4);
    expect(turned.proof.draws).toBe(true);
  });

  it('is left where a wall stands close round it, and that is said', async () => {
    // A tub of radius 31 to 40 round the sheave, joined to it by its bottom: a gap of 1 mm.
    const walled = s.revolve(
      [
        [0, 0], [40, 0], [40, 26], [31, 26], [31, 4], [30, 4], [30, 8], [20, 8], [20, 18], [30, 18], [30, 26], [0, 26],
      ],
      48,
    ); // prettier-ignore
    const made = await solids.makeCores(s.asPattern(walled), Z, { boxes: false, standSand: 0 });
    expect(made.cores).toEqual([]);
    expect(made.findings.map(({ code }) => code)).toEqual(['no-core-print', 'torn-sand']);
  });
});

describe('what cannot be cored', () => {
  it.each<[string, s.Mesh, string]>([['a cavity without a mouth', s.scale(s.hollowCube(), 20), 'core-shut-in']])(
    '%s: nothing invented',
    async (_, mesh, code) => {
      const pattern = s.asPattern(mesh);
      const made = await solids.makeCores(pattern, Z);
      expect(made.cores).toEqual([]);
      expect(made.pattern).toBe(pattern);
      expect(made.volumes).toMatchObject({ coredMm3: 0, printsMm3: 0 });
      expect(made.findings.map((finding) => finding.code)).toEqual([code, 'torn-sand']);
      expect(made.findings[0].where).toHaveLength(3);
    },
  );

  it('a ball needs none', async () => {
    const ball = s.asPattern(s.sphere(20, 3));
    const made = await solids.makeCores(ball, Z);
    expect(made).toMatchObject({ cores: [], findings: [] });
    expect(made.pattern).toBe(ball);
  });
});

describe('several', () => {
  it('two bores at right angles to each other and to the draw are one core on four prints', async () => {
    const crossed = cube(s.span([0, 60], [24, 36], [24, 36]), s.span([24, 36], [0, 60], [24, 36]));
    const made = await solids.makeCores(s.asPattern(crossed), Z);
    expectAddsUp(made);
    expect(made.cores).toHaveLength(1);
    expectNear(made.cores[0].bodyMm3, 144 * 60 * 2 - 12 ** 3, 1e-5);
    expect(made.cores[0].prints).toHaveLength(4);
  });

  it('two bores apart are two cores, of which only so many are made as asked', async () => {
    const pattern = s.asPattern(cube(s.span([0, 60], [10, 22], [24, 36]), s.span([0, 60], [38, 50], [24, 34])));
    const made = await solids.makeCores(pattern, Z, { boxes: false });
    expect(made.cores.map(({ bodyMm3 }) => Math.round(bodyMm3))).toEqual([60 * 144, 60 * 120]);
    const one = await solids.makeCores(pattern, Z, { boxes: false, places: 1 });
    expect(one.cores).toHaveLength(1);
    expectNear(one.proof.trappedMm3, 60 * 120, 1e-4);
    expect(one.findings.map(({ code }) => code)).toEqual(['torn-sand']);
  });
});

describe('options', () => {
  it('refuses nonsense, reports progress to one 1, and stops on abort', async () => {
    const pattern = s.asPattern(tube);
    for (const wrong of [{ taperDeg: 45 }, { boxWall: 0 }, { printLength: 0 }, { sandDensityKgM3: 1.6 }]) {
      await expect(solids.makeCores(pattern, Z, wrong)).rejects.toMatchObject({ code: 'bad-number' });
    }
    const seen: number[] = [];
    await solids.makeCores(pattern, Z, { onProgress: (f) => seen.push(f) });
    expect(seen).toEqual([...seen].sort((a, b) => a - b));
    expect(seen.filter((f) => f === 1)).toHaveLength(1);
    const stop = new AbortController();
    const onProgress = (f: number): void => void (f > 0.3 && stop.abort(new Error('enough')));
    await expect(solids.makeCores(pattern, Z, { signal: stop.signal, onProgress })).rejects.toThrow('enough');
  });
});
