// @ts-check
// Looking over, measuring and mending a mesh of 871,200 triangles. No peer: limits of our own.
import { decodePattern, inspectPattern, inspectPatternFully, measurePattern } from '@oddside/pattern';
import { ringStl } from './pattern-reading.mjs';

const prepare = () => decodePattern(ringStl(660, 660), { unit: 'mm' });
const TRIANGLES = 871_200;

/** @type {import('../harness.mjs').Case[]} */
export const cases = [
  {
    name: 'inspection of 871,200 triangles without cuts',
    prepare,
    ours: (pattern) => inspectPattern(pattern),
    same: (a) => (a.closed && a.triangles === TRIANGLES) || 'not closed',
    atMostMs: 2000,
    rounds: 5,
  },
  {
    name: 'inspection of 871,200 triangles in full, with cuts',
    prepare,
    ours: (pattern) => inspectPatternFully(pattern),
    same: (a) => (a.closed && a.selfIntersections === 0) || `${a.selfIntersections} cuts`,
    atMostMs: 10_000,
    rounds: 3,
  },
  {
    name: 'measuring 871,200 triangles',
    prepare,
    ours: (pattern) => measurePattern(pattern),
    same: (a) => (a.reliable && Math.abs(a.volumeMm3 / (2 * Math.PI ** 2 * 60 * 400) - 1) < 1e-4) || 'other volume',
    atMostMs: 2000,
    rounds: 5,
  },
];
