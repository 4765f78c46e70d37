import { describe, expect, it } from 'vitest';
import { assessDraw } from '@oddside/parting';
import { isOddsideError, type Vec3 } from '@oddside/core';
import { snowdenMesh } from '../helpers/scans.js';
import * as s from '../helpers/shapes.js';

const box = s.asPattern(s.box([0, 0, 0], [40, 30, 20]));
const Z: Vec3 = [0, 0, 1];

/** The code of the OddsideError a call throws. */
function codeOf(call: () => unknown): string {
  try {
    call();
  } catch (error) {
    return isOddsideError(error) ? `${error.code}: ${error.message}` : `not ours: ${String(error)}`;
  }
  return 'nothing thrown';
}

describe('bad input', () => {
  it.each([
    ['zero length', [0, 0, 0], {}, /^bad-direction: .*not all zero.*0,0,0/],
    ['NaN', [NaN, 0, 1], {}, /^bad-direction/],
    ['infinite', [Infinity, 0, 0], {}, /^bad-direction/],
    ['two numbers', [0, 1], {}, /^bad-direction/],
    ['text', 'up', {}, /^bad-direction/],
    [
      'one column',
      Z,
      { columns: 1 },
      /^bad-number: columns must be a whole number of at least 2 and at most 8192, but 1/,
    ],
    ['too many columns', Z, { columns: 8193 }, /^bad-number/],
    ['half a column', Z, { columns: 64.5 }, /^bad-number/],
    ['NaN columns', Z, { columns: NaN }, /^bad-number/],
    ['draft of 60°', Z, { requiredDraftDeg: 60 }, /^bad-number: requiredDraftDeg/],
    ['negative draft', Z, { requiredDraftDeg: -1 }, /^bad-number/],
    ['unknown option', Z, { column: 64 }, /^bad-option: .*"columns"/],
  ])('%s', (_name, direction, options, expected) => {
    expect(codeOf(() => assessDraw(box, direction as Vec3, options as object))).toMatch(expected);
  });

  it('a pattern with NaN, with a missing corner or with no triangles', () => {
    const spoilt = { ...box, positions: Float64Array.from(box.positions, (value, i) => (i === 4 ? NaN : value)) };
    expect(codeOf(() => assessDraw(spoilt, Z))).toMatch(/^bad-pattern: Corner 1/);
    expect(codeOf(() => assessDraw({ ...box, triangles: Uint32Array.of(0, 1, 99) }, Z))).toMatch(
      /^bad-pattern: Triangle 0/,
    );
    expect(codeOf(() => assessDraw({ ...box, triangles: new Uint32Array(0) }, Z))).toMatch(/^no-triangles/);
  });
});

describe('a sound pattern', () => {
  it("reports unit direction, column width, depths and heights from the file's own origin", () => {
    const moved = s.asPattern(s.translate(s.box([0, 0, 0], [40, 30, 20]), [0, 0, 500]));
    const found = assessDraw(moved, [0, 0, 7], { columns: 200 });
    expect(found.direction).toEqual([0, 0, 1]);
    expect(found.flat.low).toBeCloseTo(500, 9);
    expect(found.flat.high).toBeCloseTo(520, 9);
    expect(found.dragDepth).toBeCloseTo(20, 9);
    expect(found.solidMm3).toBeCloseTo(found.envelopeMm3, 6);
    expect(Math.abs(found.shadowAreaMm2 - 1200)).toBeLessThan(found.shadowAreaErrorMm2);
    // The shadow is seen through a grid turned against it, so a column is a little wider than 40 mm over 200.
    expect(found.column).toBeGreaterThan(0.2);
    expect(found.column).toBeLessThan(0.3);
    expect(found).toMatchObject({
      reliable: true,
      findings: [],
      unbalancedColumns: 0,
      meanIntervals: 1,
      backDraftMm3: 0,
    });
  });

  it('is not changed by being assessed', () => {
    const before = structuredClone(box);
    assessDraw(box, [1, 2, 3], { columns: 64 });
    expect(box).toEqual(before);
  });

  it('gives the same answer twice', () => {
    const mug = s.asPattern(s.blockyMug());
    expect(assessDraw(mug, [1, 2, 3])).toEqual(assessDraw(mug, [1, 2, 3]));
  });
});

describe('an unsound pattern', () => {
  it('a cube without its lid: every column under the hole is reported and counted in the error', () => {
    const lid = s.keepTriangles(s.box(), (t) => t !== 2 && t !== 3);
    const found = assessDraw(s.asPattern(lid), Z, { columns: 100 });
    expect(found.reliable).toBe(false);
    expect(found.unbalancedColumns * found.column ** 2).toBeCloseTo(1, 1);
    expect(found.findings[0]).toMatchObject({ code: 'unbalanced-columns', severity: 'problem' });
    // Seen from the side the cube has a hole only where nothing stands before it: two columns deep of wall, all paired.
    expect(assessDraw(s.asPattern(lid), [1, 0, 0]).unbalancedColumns).toBe(0);
  });

  it('half of a notched block open: unknown sand is inside the error', () => {
    const mesh = s.uNotch(2);
    const open = s.keepTriangles(mesh, (t) => t % 9 !== 4);
    const whole = assessDraw(s.asPattern(mesh), Z);
    const found = assessDraw(s.asPattern(open), Z);
    expect(found.reliable).toBe(false);
    expect(Math.abs(found.backDraftMm3 - whole.backDraftMm3)).toBeLessThanOrEqual(found.backDraftErrorMm3);
  });

  it('a turned-over face shows as unbalanced columns', () => {
    const flipped = s.turnOverSome(s.box(), (t) => t === 2);
    const found = assessDraw(s.asPattern(flipped), Z);
    expect(found.reliable).toBe(false);
    expect(found.unbalancedColumns).toBeGreaterThan(0);
  });

  it('two boxes that overlap are found out, and the overlap measured', () => {
    const pair = s.merge(s.box(), s.translate(s.box(), [0.5, 0, 0]));
    const found = assessDraw(s.asPattern(pair), Z, { columns: 400 });
    expect(found.reliable).toBe(false);
    expect(found.findings.map((finding) => finding.code)).toEqual(['overlapping-metal']);
    expect(found.backDraftErrorMm3).toBeGreaterThan(0.49);
    expect(found.backDraftErrorMm3).toBeLessThan(0.52);
  });

  it('the bust is open underneath: unreliable along every draw that looks into it, and says so', () => {
    const found = assessDraw(s.asPattern(snowdenMesh('lo')), [0, 1, 0]);
    expect(found.unbalancedColumns).toBeGreaterThan(0);
    expect(found.reliable).toBe(false);
    expect(found.findings[0].message).toMatch(/columns along this draw pass through a hole/);
  });
});
