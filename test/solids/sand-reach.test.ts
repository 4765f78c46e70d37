import { describe, expect, it } from 'vitest';
import { openSolids } from '@oddside/solids';
import { polycube } from '../helpers/cells.js';
import * as s from '../helpers/shapes.js';
import { expectNear, soundVolume } from './solid-checks.js';

const solids = await openSolids();

/** Shelves of 10 × 10 × 1 mm, one over another with 2 mm between, on a post beside them. */
function rack(shelves: number): s.Mesh {
  const cells: [number, number, number][] = [];
  for (let k = 0; k < shelves; k++) {
    for (let i = 0; i < 10; i++) for (let j = 0; j < 10; j++) cells.push([i, j, 3 * k]);
  }
  for (let z = 0; z < 3 * shelves - 2; z++) for (let j = 0; j < 10; j++) cells.push([10, j, z]);
  return polycube(...cells);
}

describe('sand between shelves', () => {
  it.each([2, 5, 12])('%i shelves: the sand between each two is filled, no more', async (shelves) => {
    const filled = await solids.fillBackDraft(s.asPattern(rack(shelves)), [0, 0, 1]);
    expectNear(filled.addedMm3, (shelves - 1) * 200);
    expectNear(soundVolume(filled.pattern), 11 * 10 * (3 * shelves - 2));
  });

  it('shelves askew to the draw are filled as the columns say', async () => {
    const draw = [0.2, 0.1, 1] as const;
    const pattern = s.asPattern(rack(4));
    const filled = await solids.fillBackDraft(pattern, draw);
    const proof = await solids.proveDraw(pattern, draw, { steps: 0 });
    expectNear(filled.addedMm3, proof.held.trappedMm3, 1e-4);
    expect((await solids.proveDraw(filled.pattern, draw, { steps: 0 })).draws).toBe(true);
  });
});
