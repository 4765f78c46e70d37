/** Files made to mislead a reader. Each ends in the mesh it should, or in one clear error; never in anything else. */
import { isOddsideError } from '@oddside/core';
import { decodePattern, inspectPattern, measurePattern } from '@oddside/pattern';
import { describe, expect, test } from 'vitest';
import { gltfCases, mfCases } from './hostile-packed.js';
import { objCases, plyCases, stlCases } from './hostile-text.js';
import type { HostileCase } from './hostile.js';

const ABOUT_SIZE = new Set(['unit-assumed', 'size-implausible']);
const families: readonly (readonly [string, readonly HostileCase[]])[] = [
  ['STL', stlCases],
  ['OBJ', objCases],
  ['PLY', plyCases],
  ['3MF', mfCases],
  ['glTF', gltfCases],
];

test('there are at least 150 cases', () => {
  expect(families.reduce((sum, [, cases]) => sum + cases.length, 0)).toBeGreaterThanOrEqual(150);
});

describe.each(families)('%s', (_, cases) => {
  test.each(cases.map((one) => [one.name, one] as const))('%s', (_name, one) => {
    const bytes = one.bytes();
    let pattern;
    try {
      pattern = decodePattern(bytes, { format: one.format });
    } catch (error) {
      if (!isOddsideError(error)) throw error;
      if (one.triangles === 0) return expect(['no-triangles', 'bad-file', 'unknown-format']).toContain(error.code);
      expect({ code: error.code, message: error.message }).toMatchObject({
        code: one.error ?? 'should have been read',
      });
      if (one.says) expect(error.message).toMatch(one.says);
      expect(error.message.length).toBeLessThan(500);
      return undefined;
    }
    expect(one.error ?? 'read').toBe('read');
    expect(pattern.findings.map((finding) => finding.code).filter((code) => !ABOUT_SIZE.has(code))).toEqual(
      one.findings,
    );
    if (one.triangles !== undefined) {
      expect(pattern.triangles.length / 3).toBe(one.triangles);
      return undefined;
    }
    expect(inspectPattern(pattern)).toMatchObject({ closed: true, consistent: true });
    const measures = measurePattern(pattern);
    expect(measures.findings).toEqual([]);
    expect(measures.volumeMm3 / one.volumeMm3!).toBeCloseTo(1, 6);
    return undefined;
  });
});
