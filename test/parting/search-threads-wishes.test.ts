// Threads run the built package: a worker's file must be plain JavaScript.
import { advisePartings } from '../../packages/parting/dist/index.js';
import { expect, test } from 'vitest';
import { bunnyMesh } from '../helpers/scans.js';
import { asPattern, scale } from '../helpers/shapes.js';

test('wishes, limits and flasks give the same advice bit for bit with threads as without', async () => {
  const hare = asPattern(scale(bunnyMesh(), 10));
  const options = {
    samples: 100,
    columns: 64,
    candidates: 2,
    joints: false,
    wishes: { upright: [0, 0.2, 1] as const, withinDeg: 40, machined: [{ normal: [0, 1, 0] as const }] },
    limits: { copeDepth: 70, projectedAreaMm2: 9000 },
    flasks: [{ name: 'the flask', length: 250, width: 220, copeDepth: 110, dragDepth: 110 }],
  };
  const alone = await advisePartings(hare, options);
  expect(alone.candidates.length).toBeGreaterThan(0);
  expect(await advisePartings(hare, { ...options, threads: 2 })).toEqual(alone);
});
