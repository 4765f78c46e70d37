/** What the solids tests share: a solid is sound when it is closed, turned outward and holds together edge by edge. */
import { expect } from 'vitest';
import { inspectPattern, type Pattern } from '@oddside/pattern';
import { edgesOf, volumeOf } from '../helpers/shapes.js';

/** Expects a closed, manifold, outward solid without repeated corners, and gives its volume by the tests' own sum. */
export function soundVolume(pattern: Pattern): number {
  expect(edgesOf(pattern), pattern.name).toEqual({ unbalanced: 0, crowded: 0, degenerate: 0 });
  expect(inspectPattern(pattern), pattern.name).toMatchObject({ closed: true, consistent: true, openEdges: 0 });
  const volume = volumeOf(pattern);
  expect(volume, pattern.name).toBeGreaterThan(0);
  return volume;
}

/** Expects two volumes to agree within a share of the first. */
export function expectNear(actual: number, exact: number, share = 1e-5, name = ''): void {
  expect(Math.abs(actual - exact), `${name} ${actual} against ${exact}`).toBeLessThanOrEqual(share * Math.abs(exact));
}
