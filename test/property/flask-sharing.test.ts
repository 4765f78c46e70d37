/** Laws of sharing a flask, on random slabs, discs and prisms: what is laid is checked from the meshes by brute force. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Vec3 } from '@oddside/core';
import { fitFlask, type FlaskSize } from '../../packages/parting/src/fit-flask.js';
import type { PatternToLay } from '../../packages/parting/src/flask-share.js';
import { shareFlask } from '../../packages/parting/src/share-flask.js';
import { checkLayout } from '../helpers/flask-layout.js';
import { asPattern, box, cylinder, rotate } from '../helpers/shapes.js';

const UP: Vec3 = [0, 0, 1];
const side = fc.integer({ min: 5, max: 120 });
const part: fc.Arbitrary<PatternToLay> = fc
  .record({
    corners: fc.constantFrom(0, 3, 5, 24, 100),
    length: side,
    width: side,
    askewDeg: fc.constantFrom(0, 17, 45, 90),
    down: fc.boolean(),
    copies: fc.integer({ min: 1, max: 3 }),
  })
  .map(({ corners, length, width, askewDeg, down, copies }) => {
    const mesh = corners === 0 ? box([0, 0, 0], [length, width, 10]) : cylinder(length / 2, 10, corners);
    return {
      pattern: asPattern(rotate(mesh, UP, askewDeg)),
      direction: down ? ([0, 0, -1] as const) : UP,
      joint: down ? -10 : 0,
      copies,
    };
  });
const margins = fc.record({
  wallMargin: fc.constantFrom(0, 15, 40),
  betweenMargin: fc.constantFrom(0, 10, 30),
  sprueRoom: fc.constantFrom(0, 50),
});
const flask = (length: number, width: number): FlaskSize => ({
  name: `${length} × ${width}`,
  length,
  width,
  copeDepth: 100,
  dragDepth: 100,
});
const SEED = 20261125;

describe(`shareFlask, seed ${SEED}`, () => {
  it('lays no pattern over another, through a wall or into the sprue, and loses none', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(part, { minLength: 1, maxLength: 3 }),
        margins,
        fc.integer({ min: 150, max: 500 }),
        fc.integer({ min: 150, max: 500 }),
        async (parts, sand, length, width) => {
          const found = await shareFlask(parts, [flask(length, width)], { ...sand, tries: 6 });
          if (found.best) checkLayout(parts, found.best, sand);
          else expect(found.misfits).toHaveLength(1);
          // The size said to be needed is enough.
          const { needed } = found;
          const again = await shareFlask(parts, [{ name: 'needed', ...needed }], { ...sand, tries: 1 });
          expect(again.best).not.toBeNull();
          checkLayout(parts, again.best!, sand);
        },
      ),
      { seed: SEED, numRuns: 60 },
    );
  });

  it('is never worse than rows for one pattern', async () => {
    await fc.assert(
      fc.asyncProperty(
        part,
        margins,
        fc.array(fc.tuple(side, side), { minLength: 1, maxLength: 6 }),
        async (one, sand, sizes) => {
          const flasks = sizes.map(([length, width]) => flask(length * 5, width * 5));
          const rows = fitFlask(one.pattern, one.direction, one.joint, flasks, { ...sand, copies: one.copies });
          const found = await shareFlask([one], flasks, { ...sand, tries: 2 });
          if (rows.best) expect(found.best!.volumeMm3).toBeLessThanOrEqual(rows.best.volumeMm3);
          for (const { flask: held } of rows.fits) expect(found.fits.map((fit) => fit.flask)).toContain(held);
          if (found.best) checkLayout([one], found.best, sand);
        },
      ),
      { seed: SEED, numRuns: 60 },
    );
  });

  it('calls a misfit proved only where a larger number of tries finds nothing either', async () => {
    await fc.assert(
      fc.asyncProperty(fc.array(part, { minLength: 1, maxLength: 2 }), side, side, async (parts, length, width) => {
        const bare = { wallMargin: 0, betweenMargin: 0, sprueRoom: 0 };
        const [found] = (await shareFlask(parts, [flask(length * 2, width * 2)], { ...bare, tries: 2 })).misfits;
        if (!found?.proved) return;
        // Two joined patterns cannot go where one alone, or their area, does not.
        const area = parts.reduce((sum, { pattern, copies = 1 }) => sum + copies * shadowOf(pattern.positions), 0);
        const alone = parts.some(({ pattern, direction, joint }) => {
          const { best } = fitFlask(pattern, direction, joint, [flask(length * 2, width * 2)], bare);
          return best === null;
        });
        expect(alone || area > 4 * length * width * (1 - 1e-9)).toBe(true);
      }),
      { seed: SEED, numRuns: 60 },
    );
  });
});

/** Area of the outline of a convex prism, from its corners in order round their middle. */
function shadowOf(positions: Float64Array): number {
  const points = Array.from(
    { length: positions.length / 3 },
    (_, i) => [positions[3 * i]!, positions[3 * i + 1]!] as const,
  );
  const centre = points.reduce(([x, y], [px, py]) => [x + px / points.length, y + py / points.length], [0, 0]);
  // Corners of a convex solid's outline, in order round the centre.
  const hull = points
    .filter(
      (p, i) =>
        points.findIndex((q) => Math.hypot(p[0] - q[0], p[1] - q[1]) < 1e-9) === i &&
        Math.hypot(p[0] - centre[0]!, p[1] - centre[1]!) > 1e-6,
    )
    .sort(
      (a, b) => Math.atan2(a[1] - centre[1]!, a[0] - centre[0]!) - Math.atan2(b[1] - centre[1]!, b[0] - centre[0]!),
    );
  return Math.abs(
    hull.reduce((sum, [x, y], i) => {
      const [nx, ny] = hull[(i + 1) % hull.length]!;
      return sum + (x * ny - nx * y) / 2;
    }, 0),
  );
}
