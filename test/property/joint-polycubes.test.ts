/** Line, joint, classes and regions on random heaps of cubes, and what must hold between them whatever the heap. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Vec3 } from '@oddside/core';
import { assessDraw } from '../../packages/parting/src/assess-draw.js';
import { castColumns } from '../../packages/parting/src/cast-columns.js';
import { classifySurface } from '../../packages/parting/src/classify-surface.js';
import { countFlasks } from '../../packages/parting/src/count-flasks.js';
import { findHeldRegions } from '../../packages/parting/src/find-held-regions.js';
import { shapePartingSurface } from '../../packages/parting/src/shape-parting-surface.js';
import { tracePartingLine } from '../../packages/parting/src/trace-parting-line.js';
import { asPattern, boxesUnion, polycube, span, type Point } from '../helpers/shapes.js';

const UP: Vec3 = [0, 0, 1];
const COLUMNS = 60;

/** Cells out of 3×3×3, never empty. */
const heap = fc
  .uniqueArray(fc.integer({ min: 0, max: 26 }), { minLength: 1, maxLength: 20 })
  .map((cells) => cells.map((c): Point => [c % 3, Math.floor(c / 3) % 3, Math.floor(c / 9)]));

/** One stretch of metal over each cell of a 4×3 plan, some empty: draws along z by construction. */
const terrain = fc
  .array(fc.record({ low: fc.integer({ min: 0, max: 6 }), tall: fc.integer({ min: 0, max: 5 }) }), {
    minLength: 12,
    maxLength: 12,
  })
  .filter((cells) => cells.some((cell) => cell.tall > 0))
  .map((cells) =>
    boxesUnion(
      cells.flatMap(({ low, tall }, i) => {
        const [x, y] = [i % 4, Math.floor(i / 4)];
        return tall > 0 ? [span([x, x + 1], [y, y + 1], [low / 2, (low + tall) / 2])] : [];
      }),
    ),
  );

describe('heaps of cubes', () => {
  it('have classes that add up, held surface exactly where sand is held, and regions that add up to the back draft', () => {
    fc.assert(
      fc.property(heap, (cells) => {
        const pattern = asPattern(polycube(...cells));
        const assessment = assessDraw(pattern, UP, { columns: COLUMNS });
        const field = castColumns(pattern, UP, COLUMNS);
        const { shares } = classifySurface(pattern, field);
        expect(Object.values(shares).reduce((sum, share) => sum + share, 0)).toBeCloseTo(1, 9);
        const { regions } = findHeldRegions(pattern, field);
        const sum = regions.reduce((total, region) => total + region.volumeMm3, 0);
        expect(sum).toBeCloseTo(assessment.backDraftMm3, 6);
        // Cells that touch only along an edge make slivers of columns; whole cells of held sand must show on the surface.
        if (assessment.backDraftMm3 < 1e-9) expect(shares.held + shares.wallHeld).toBeLessThan(1e-9);
        else expect(shares.held).toBeGreaterThan(0);
        const { count } = countFlasks(pattern, UP, { columns: COLUMNS, levels: 48 });
        expect(count).toBeGreaterThanOrEqual(2);
        expect(count).toBeLessThanOrEqual(3);
        if (count === 2) expect(assessment.backDraftMm3).toBeLessThan(1e-9);
      }),
      { seed: 31, numRuns: 60 },
    );
  });
});

describe('stretches of metal over a plan', () => {
  it('have a line inside its corridor and a joint no steeper than allowed that meets it', () => {
    fc.assert(
      fc.property(terrain, fc.integer({ min: 20, max: 70 }), (mesh, slopeLimitDeg) => {
        const pattern = asPattern(mesh);
        const assessment = assessDraw(pattern, UP, { columns: COLUMNS });
        expect(assessment.backDraftMm3).toBeLessThan(1e-9);
        const line = tracePartingLine(pattern, assessment);
        for (const { heights, corridorLow, corridorHigh, climb } of line.loops) {
          heights.forEach((h, i) => {
            expect(h).toBeGreaterThanOrEqual(corridorLow[i] - 1e-9);
            expect(h).toBeLessThanOrEqual(corridorHigh[i] + 1e-9);
          });
          if (line.flat) expect(climb).toBeLessThan(1e-6);
        }
        const surface = shapePartingSurface(pattern, assessment, { slopeLimitDeg, column: assessment.column });
        expect(surface.feasible).toBe(surface.conflict === null);
        expect(surface.copeDownMm3).toBeGreaterThanOrEqual(0);
        expect(surface.buildUpMm3).toBeGreaterThanOrEqual(0);
        if (line.flat && assessment.flat.height >= line.flat.low && assessment.flat.height <= line.flat.high) {
          expect(surface.copeDownMm3 + surface.buildUpMm3).toBeLessThan(1e-9);
        }
        if (surface.feasible) expect(surface.steepestDeg).toBeLessThan(slopeLimitDeg + 8);
        else expect(surface.leastSlopeDeg!).toBeGreaterThan(slopeLimitDeg);
      }),
      { seed: 32, numRuns: 60 },
    );
  });
});
