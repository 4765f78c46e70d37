/** Eleven hundred operations leave nothing behind in the kernel, whose memory no collector sees. About 40 s. */
import { expect, it } from 'vitest';
import { openSolids } from '@oddside/solids';
import type { Vec3 } from '@oddside/core';
import { residentMb } from '../helpers/resident-memory.js';
import * as s from '../helpers/shapes.js';

it('eleven hundred operations, some of which fail, leave the memory flat', { timeout: 600_000 }, async () => {
  const solids = await openSolids();
  const ring = s.asPattern(s.torus(10, 4, 40, 20));
  const open = { ...ring, triangles: ring.triangles.slice(3) };
  const joint = { kind: 'level', height: 0 } as const;
  const draw: Vec3 = [0, 0, 1];
  const cube = s.asPattern(s.box([-30, -20, -15], [30, 20, 25]));
  const flask = { length: 240, width: 160, copeHeight: 80, dragHeight: 60 };
  const round = async (): Promise<void> => {
    await solids.proveDraw(ring, draw, { joint, steps: 1 });
    await solids.fillBackDraft(ring, [0.3, 0, 1]);
    await solids.makeSolid(ring);
    await solids.splitPattern(cube, draw, { joint });
    await solids.followBoard(cube, draw, { joint });
    await solids.mouldHalves(cube, draw, { joint, flask, vents: { count: 1, diameter: 3 } });
    await solids.scalePattern(cube, { contraction: 0.02, stock: [{ normal: draw, stock: 2 }] });
    await solids.addDraft(cube, draw, { joint });
    await expect(solids.splitPattern(open, draw, { joint })).rejects.toMatchObject({ code: 'bad-pattern' });
    await expect(solids.proveDraw(open, draw)).rejects.toMatchObject({ code: 'bad-pattern' });
    const failing = solids.fillBackDraft(ring, draw, {
      onProgress: () => {
        throw new Error('on purpose');
      },
    });
    await expect(failing).rejects.toThrow('on purpose');
  };
  for (let n = 0; n < 30; n++) await round();
  const before = residentMb();
  for (let n = 0; n < 70; n++) await round();
  // One ring held back in each operation would be some 400 kB × 700. With none, some 5 MB.
  expect(residentMb() - before).toBeLessThan(20);
});
