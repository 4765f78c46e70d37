import { describe, expect, it } from 'vitest';
import { openSolids, type MouldHalves } from '@oddside/solids';
import type { Vec3 } from '@oddside/core';
import * as s from '../helpers/shapes.js';
import { expectNear, soundVolume } from './solid-checks.js';

const solids = await openSolids();
const Z: Vec3 = [0, 0, 1];
const joint = { kind: 'level', height: 0 } as const;
const flask = { length: 240, width: 160, copeHeight: 80, dragHeight: 60 };
const cube = s.asPattern(s.box([-30, -20, -15], [30, 20, 25]));

function expectAddsUp({ cope, drag, metal, volumes }: MouldHalves): void {
  const { flaskMm3, copeSandMm3, dragSandMm3, pouredMm3, ventsMm3 } = volumes;
  expectNear(flaskMm3, 240 * 160 * 140, 1e-6);
  expectNear(copeSandMm3 + dragSandMm3 + pouredMm3 + ventsMm3, flaskMm3, 1e-6);
  expectNear(soundVolume(cope), copeSandMm3, 1e-5);
  expectNear(soundVolume(drag), dragSandMm3, 1e-5);
  expectNear(soundVolume(metal), pouredMm3, 1e-5);
}

/** y of the corners of a pattern at x (either side) and z, in order, each once. */
function cornersAt({ positions }: MouldHalves['metal'], x: number, z: number): number[] {
  const found = new Set<number>();
  for (let i = 0; i < positions.length; i += 3) {
    const near = Math.abs(Math.abs(positions[i]) - x) < 1e-3 && Math.abs(positions[i + 2] - z) < 1e-3;
    if (near) found.add(Math.round(1e3 * positions[i + 1]) / 1e3);
  }
  return [...found].sort((a, b) => a - b);
}

describe('mouldHalves', () => {
  it('a bare cavity: cope sand + drag sand + cavity = flask', async () => {
    const made = await solids.mouldHalves(cube, Z, { joint, flask });
    expectAddsUp(made);
    expectNear(made.volumes.copeSandMm3, 240 * 160 * 80 - 60 * 40 * 25);
    expectNear(made.volumes.dragSandMm3, 240 * 160 * 60 - 60 * 40 * 15);
    expectNear(made.volumes.pouredMm3, 60 * 40 * 40);
    expectNear(made.volumes.roofMm3, 60 * 40 * 55, 0.01);
    expect(made).toMatchObject({ findings: [], places: { sprue: null, feeders: [], vents: [] } });
  });

  it('with gating: every part has its size and its place', async () => {
    const made = await solids.mouldHalves(cube, Z, {
      joint,
      flask,
      sprue: { topDiameter: 24, bottomDiameter: 16, well: { diameter: 30, depth: 20 } },
      runner: { width: 14, height: 10 },
      gates: { count: 2, width: 8, height: 6 },
      feeders: [{ diameter: 24, height: 40 }],
      vents: { count: 2, diameter: 3 },
    });
    expectAddsUp(made);
    // Gates cut the round sprue aslant, and the sand between them runs out to an edge.
    expect(made.findings.map(({ code }) => code)).toEqual(['sand-fin']);
    // Two gates of 8 mm over a side of 40: each in the middle of its half.
    expect(cornersAt(made.metal, 30, 6)).toEqual([-14, -6, 6, 14]);
    // Most room is along x; 25 mm of sand, then the well's radius.
    const [x, y] = made.places.sprue!;
    expect([Math.abs(x), y]).toEqual([expect.closeTo(30 + 25 + 15, 4), expect.closeTo(0, 4)]);
    expect(made.places.feeders).toHaveLength(1);
    expect(made.places.vents).toHaveLength(2);
    // The parts by hand: sprue, well, runner beside the well, gates from it to the metal, feeder up from the roof.
    const sprue = (Math.PI * 80 * (12 * 12 + 12 * 8 + 8 * 8)) / 3;
    const well = Math.PI * 225 * 20;
    const feeder = Math.PI * 144 * 40;
    const least = 96_000 + sprue + well + feeder;
    const gates = 2 * 8 * 6 * (70 - 30);
    expect(made.volumes.pouredMm3).toBeGreaterThan(0.995 * (least + 0.8 * gates));
    expect(made.volumes.pouredMm3).toBeLessThan(least + gates + 14 * 10 * 60);
    // One piece of metal: the gates reach the cavity.
    expect((await solids.makeSolid(made.metal)).bodies).toBe(1);
    expectNear(made.volumes.ventsMm3, 2 * Math.PI * 1.5 ** 2 * 55, 0.02);
  });

  it('goes where the founder says', async () => {
    const made = await solids.mouldHalves(cube, Z, {
      joint,
      flask,
      sprue: { topDiameter: 20, bottomDiameter: 14, at: [-80, 10, 0] },
      feeders: [{ diameter: 10, height: 20, at: [20, 10, 0] }],
    });
    expect(made.places.sprue).toEqual([expect.closeTo(-80, 4), expect.closeTo(10, 4), expect.closeTo(0, 4)]);
    expect(made.places.feeders[0][0]).toBeCloseTo(20, 0);
    expectAddsUp(made);
  });

  it('says where sand is thin, where the sprue has no room, and refuses a flask too small', async () => {
    const tight = { length: 100, width: 80, copeHeight: 50, dragHeight: 40 };
    const made = await solids.mouldHalves(cube, Z, {
      joint,
      flask: tight,
      sprue: { topDiameter: 20, bottomDiameter: 14 },
    });
    expect(made.findings.map(({ code }) => code).sort()).toEqual(['no-room-for-sprue', 'thin-sand']);
    const small = { ...tight, length: 50 };
    await expect(solids.mouldHalves(cube, Z, { joint, flask: small })).rejects.toMatchObject({ code: 'infeasible' });
    const nothing = { ...tight, copeHeight: 0 };
    await expect(solids.mouldHalves(cube, Z, { joint, flask: nothing })).rejects.toMatchObject({ code: 'bad-number' });
  });
});
