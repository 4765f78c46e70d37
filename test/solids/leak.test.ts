/** A thousand operations leave nothing behind in the kernel, whose memory no collector sees. About 10 s. */
import { expect, it } from 'vitest';
import { openSolids } from '@oddside/solids';
import type { Vec3 } from '@oddside/core';
import * as s from '../helpers/shapes.js';

it('a thousand operations, some of which fail, leave the memory flat', { timeout: 300_000 }, async () => {
  const solids = await openSolids();
  const ring = s.asPattern(s.torus(10, 4, 40, 20));
  const open = { ...ring, triangles: ring.triangles.slice(3) };
  const joint = { kind: 'level', height: 0 } as const;
  const draw: Vec3 = [0, 0, 1];
  const round = async (): Promise<void> => {
    await solids.proveDraw(ring, draw, { joint, steps: 1 });
    await solids.fillBackDraft(ring, [0.3, 0, 1]);
    await solids.makeSolid(ring);
    await expect(solids.proveDraw(open, draw)).rejects.toMatchObject({ code: 'bad-pattern' });
    const failing = solids.fillBackDraft(ring, draw, {
      onProgress: () => {
        throw new Error('on purpose');
      },
    });
    await expect(failing).rejects.toThrow('on purpose');
  };
  for (let n = 0; n < 60; n++) await round();
  const before = process.memoryUsage().rss;
  for (let n = 0; n < 140; n++) await round();
  // One ring held back in each operation would be some 400 kB × 700.
  expect((process.memoryUsage().rss - before) / 2 ** 20).toBeLessThan(64);
});
