import { describe, expect, it } from 'vitest';
import { openSolids, type Joint, type PatternPlate, type SplitPattern } from '@oddside/solids';
import type { Vec3 } from '@oddside/core';
import * as s from '../helpers/shapes.js';
import { expectNear, soundVolume } from './solid-checks.js';

const solids = await openSolids();
const Z: Vec3 = [0, 0, 1];
const LEVEL: Joint = { kind: 'level', height: 0 };
const ball = s.asPattern(s.sphere(20, 3));
const flask = { length: 100, width: 80 };

const mount = (plate: PatternPlate, joint: Joint = LEVEL, pattern = ball): Promise<SplitPattern> =>
  solids.splitPattern(pattern, Z, { joint, plate });
const codes = ({ findings }: SplitPattern): string[] => findings.map(({ code }) => code);
/** A regular polygon of 48 corners on a circle. */
const roundMm2 = (diameter: number): number => 24 * (diameter / 2) ** 2 * Math.sin(Math.PI / 24);

/** x of the corners on the plate's upper face that lie within `reach` of a point on its middle line. */
function cornersNear(split: SplitPattern, x: number, reach: number): Vec3[] {
  const { positions } = split.plate!;
  const found: Vec3[] = [];
  for (let i = 0; i < positions.length; i += 3) {
    if (Math.hypot(positions[i] - x, positions[i + 1]) < reach)
      found.push([positions[i], positions[i + 1], positions[i + 2]]);
  }
  return found;
}

describe('a plate for a flask', () => {
  it('is the flask and a rim, with a round guide hole and a narrower slot, to the volume of closed form', async () => {
    const guides = { diameter: 10, slotWidth: 8, slot: 12 };
    const split = await mount({ flask, rim: 30, thickness: 10, guides });
    const holesMm2 = roundMm2(10) + roundMm2(8) + (12 - 8) * 8;
    expectNear(soundVolume(split.plate!), (160 * 140 - holesMm2) * 10 + split.volumes.patternMm3, 1e-5);
    const { min, max } = s.boundsOf(split.plate!);
    expect([max[0] - min[0], max[1] - min[1]].map((side) => Math.round(side * 1e3) / 1e3)).toEqual([160, 140]);
    // Each hole stands in the middle of its rim, 130 mm from the other.
    const [round, slot] = [cornersNear(split, -65, 10), cornersNear(split, 65, 10)];
    for (const [x, y] of round) expect(Math.hypot(x + 65, y)).toBeCloseTo(5, 4);
    expect(round.length).toBeGreaterThan(40);
    expect(Math.max(...slot.map(([x]) => x))).toBeCloseTo(71, 4);
    expect(Math.min(...slot.map(([x]) => x))).toBeCloseTo(59, 4);
    expect(Math.max(...slot.map(([, y]) => y))).toBeCloseTo(4, 4);
    expect(codes(split)).toEqual([]);
  });

  it('takes 25 mm of rim, 12 mm of thickness and no holes where nothing else is said', async () => {
    const split = await mount({ flask });
    expectNear(soundVolume(split.plate!), 150 * 130 * 12 + split.volumes.patternMm3, 1e-5);
  });

  it('says by how much the halves do not fit into the flask', async () => {
    const split = await mount({ flask: { length: 36, width: 80 } });
    expect(codes(split)).toEqual(['flask-too-small']);
    const { min, max } = s.boundsOf(ball);
    const missing = (max[0] - min[0] - 36).toFixed(0);
    expect(split.findings[0].message).toContain(`${missing} mm`);
    expect(split.findings[0].message).toContain('in length');
    expect(split.findings[0].message).not.toContain('in width');
    expect(codes(await mount({ flask: { length: 41, width: 41 } }))).toEqual([]);
  });

  it('says that a leaning joint makes no flat rim, and how much it rises', async () => {
    const lean = (3 * Math.PI) / 180;
    const joint: Joint = { kind: 'tilted', normal: [Math.sin(lean), 0, Math.cos(lean)], point: [0, 0, 0] };
    const split = await mount({ flask }, joint);
    expect(codes(split)).toEqual(['rim-not-flat']);
    // 150 mm of plate at 3°.
    expect(150 * Math.tan(lean)).toBeCloseTo(7.86, 2);
    expect(split.findings[0].message).toMatch(/7\.[89]\d* mm/);
    // Halves and plate are one body: apart, each would be closed, and the sum the same.
    expect((await solids.makeSolid(split.plate!)).bodies).toBe(1);
    const whole = 150 * 130 * 12 + split.volumes.patternMm3 + split.volumes.addedMm3;
    expectNear(soundVolume(split.plate!), whole, 1e-5);
  });

  it('says where both guides take one pin', async () => {
    const alike = await mount({ flask, guides: { diameter: 8, slotWidth: 8 } });
    expect(codes(alike)).toEqual(['guides-alike']);
    expect(codes(await mount({ flask, guides: { diameter: 8 } }))).toEqual([]);
  });

  it('refuses holes that break out, and sizes that contradict each other', async () => {
    const refused: [PatternPlate, RegExp][] = [
      [{ flask, rim: 10, guides: { diameter: 10 } }, /2 mm are missing.*Widen plate\.rim/],
      [{ flask, guides: { diameter: 10, across: 105 } }, /missing/],
      [{ flask, guides: { diameter: 10, across: 148 } }, /missing/],
      [{ flask, guides: { diameter: 0 } }, /plate\.guides\.diameter/],
      [{ flask, guides: { diameter: 8, slotWidth: 6, slot: 5 } }, /plate\.guides\.slot /],
      [{ flask, length: 100, width: 90 }, /Leave one out/],
      [{ length: 100 }, /length and width/],
      [{ length: 100, width: 90, rim: 5 }, /belong to a flask/],
      [{ flask, hole: 3 } as PatternPlate, /hole/],
    ];
    for (const [plate, message] of refused) await expect(mount(plate)).rejects.toThrow(message);
  });
});
