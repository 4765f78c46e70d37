import type { Vec3 } from '@oddside/core';
import { describe, expect, it } from 'vitest';
import type { DrawTrier } from '../../packages/parting/src/draw-trier.js';
import type { DrawRules } from '../../packages/parting/src/draw-rules.js';
import { axialAngleDeg } from '../../packages/parting/src/find-own-axes.js';
import { polishDraws } from '../../packages/parting/src/polish-draws.js';
import type { TriedDraw } from '../../packages/parting/src/try-draw.js';

const RULES = {} as DrawRules;
const idle = async (): Promise<void> => Promise.resolve();
const admits = (): boolean => true;

/** So many degrees from z towards x. */
const tilted = (deg: number): Vec3 => [Math.sin((deg * Math.PI) / 180), 0, Math.cos((deg * Math.PI) / 180)];

function drawAt(direction: Vec3, points: number): TriedDraw {
  return { direction, from: 'even sampling', over: 0, points, backDraftMm3: 0, misfitMm3: 0, casts: 1 };
}

/** A pattern whose draws cost as much as they are degrees from the nearest valley. */
function valleysAt(...valleys: Vec3[]): DrawTrier {
  return {
    triangles: 1,
    tryAll: async (draws) =>
      Promise.resolve(
        draws.map(({ direction }) =>
          drawAt(direction, Math.min(...valleys.map((valley) => axialAngleDeg(valley, direction)))),
        ),
      ),
  };
}

describe('polishDraws', () => {
  it('ends in the valley of the pattern, as near as its ring of 0.2° can come', async () => {
    const found = [drawAt(tilted(0.7), 3), drawAt(tilted(40.5), 1)];
    const polish = { count: 2, columns: 96, apartDeg: 20, admits };
    const polished = await polishDraws(valleysAt(tilted(0), tilted(40)), found, polish, RULES, idle);
    expect(polished[0].points).toBeLessThanOrEqual(polished[1].points);
    // Of a net of even triangles no place is further from a corner than the side over √3.
    for (const { points } of polished) expect(points).toBeLessThanOrEqual(0.2 / Math.sqrt(3) + 1e-3);
    expect(polished.map(({ direction }) => Math.round(axialAngleDeg(direction, tilted(0)) / 40)).sort()).toEqual([
      0, 1,
    ]);
  });

  it('keeps draws apart that both would go to one place', async () => {
    const found = [drawAt(tilted(0), 1), drawAt(tilted(20), 2)];
    const polish = { count: 2, columns: 96, apartDeg: 20, admits };
    const [one, other] = await polishDraws(valleysAt(tilted(10)), found, polish, RULES, idle);
    expect(axialAngleDeg(one.direction, other.direction)).toBeGreaterThanOrEqual(20);
  });

  it('puts what was not polished behind, however good it looked on the likeness', async () => {
    const found = [drawAt(tilted(0), 1), drawAt(tilted(30), 2), drawAt(tilted(60), 2.1)];
    const polish = { count: 2, columns: 96, apartDeg: 20, admits };
    const polished = await polishDraws(valleysAt([0, 1, 0]), found, polish, RULES, idle);
    expect(polished[2]).toBe(found[2]);
    expect(polished[0].points).toBeGreaterThan(found[2].points);
    expect(await polishDraws(valleysAt([0, 1, 0]), found, { ...polish, count: 0 }, RULES, idle)).toEqual(found);
  });
});
