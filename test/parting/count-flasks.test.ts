/** Smallest stacks known by hand, and the listed intervals against solids whose columns are known. */
import { describe, expect, it } from 'vitest';
import type { Vec3 } from '@oddside/core';
import { castColumns } from '../../packages/parting/src/cast-columns.js';
import { countFlasks } from '../../packages/parting/src/count-flasks.js';
import { listIntervals } from '../../packages/parting/src/list-intervals.js';
import { sumColumns } from '../../packages/parting/src/measure-columns.js';
import {
  asPattern,
  blockyMug,
  box,
  dumbbell,
  frustum,
  merge,
  pulley,
  revolve,
  rotate,
  sphere,
  trefoil,
  translate,
  type Mesh,
} from '../helpers/shapes.js';

const UP: Vec3 = [0, 0, 1];
const count = (mesh: Mesh, d: Vec3 = UP): number => countFlasks(asPattern(mesh), d).count;

/** A bar of flanges and waists: `grooves` waists of height 2 between flanges of height 1. */
function grooved(grooves: number): Mesh {
  const side: [number, number][] = [];
  for (let i = 0; i <= grooves; i++) {
    side.push([5, 3 * i], [5, 3 * i + 1]);
    if (i < grooves) side.push([3, 3 * i + 1], [3, 3 * i + 3]);
  }
  return revolve([[0, 0], ...side, [0, 3 * grooves + 1]], 48);
}

describe('countFlasks', () => {
  it('O27 needs two for a sphere, parted at its middle', () => {
    const stack = countFlasks(asPattern(translate(sphere(10, 4), [0, 0, 70])), UP);
    expect(stack.count).toBe(2);
    expect(stack.flatBacked).toBe(false);
    expect(Math.abs(stack.parts[0].high - 70)).toBeLessThanOrEqual(2 * stack.resolution);
    expect(stack.parts.map((part) => [part.role, part.draws])).toEqual([
      ['drag', 'up'],
      ['cope', 'down'],
    ]);
  });

  it('O27 sees that a cube or a block widening upwards can lie wholly in the drag', () => {
    expect(countFlasks(asPattern(box()), UP)).toMatchObject({ count: 2, flatBacked: true });
    expect(countFlasks(asPattern(frustum(5, 6, 4)), UP)).toMatchObject({ count: 2, flatBacked: true });
    expect(countFlasks(asPattern(frustum(6, 5, 4)), UP)).toMatchObject({ count: 2, flatBacked: false });
  });

  it('O27 needs three for a pulley on its axis and n + 2 for n grooves', () => {
    expect(count(pulley(5, 3, 2))).toBe(3);
    for (const grooves of [1, 2, 3, 5]) expect(count(grooved(grooves))).toBe(grooves + 2);
    expect(count(dumbbell(3, 5, 1))).toBe(4);
    expect(count(pulley(5, 3, 2), [1, 0, 0])).toBe(2);
  });

  it('gives the pulley’s joints where its sections change', () => {
    const { parts, resolution } = countFlasks(asPattern(pulley(5, 3, 2)), UP);
    expect(parts.map((part) => part.role)).toEqual(['drag', 'cheek', 'cope']);
    expect(Math.abs(parts[0].high - 1)).toBeLessThanOrEqual(resolution);
    expect(parts[1].low).toBe(parts[0].high);
    expect(parts[2].low).toBe(parts[1].high);
    expect(parts[2].high).toBeCloseTo(4, 9);
  });

  it('is the same the other way up', () => {
    for (const mesh of [sphere(10, 3), pulley(5, 3, 2), grooved(3), blockyMug()]) {
      expect(count(mesh, [0, 0, -1])).toBe(count(mesh));
    }
  });

  it('lets a slack pass over a flaw', () => {
    const flawed = merge(frustum(5, 5.5, 4), translate(box([0, 0, 0], [0.4, 0.4, 0.4]), [5.15, 0, 1]));
    expect(countFlasks(asPattern(flawed), UP, { slackMm2: 0 }).flatBacked).toBe(false);
    expect(countFlasks(asPattern(flawed), UP, { slackMm2: 0.5 }).flatBacked).toBe(true);
  });

  it('refuses nonsense', () => {
    expect(() => countFlasks(asPattern(box()), [0, 0, 0])).toThrow(/direction/i);
    expect(() => countFlasks(asPattern(box()), UP, { levels: 1 })).toThrow(/levels/);
    expect(() => countFlasks(asPattern(box()), UP, { slackMm2: -1 })).toThrow(/slackMm2/);
  });
});

describe('listIntervals', () => {
  it('agrees with the signed pass on every column: ends, metal and count', () => {
    for (const mesh of [blockyMug(), trefoil(0.35, 120, 12), rotate(pulley(5, 3, 2), [1, 2, 3], 40)]) {
      const pattern = asPattern(mesh);
      const field = castColumns(pattern, [0.2, -0.3, 0.9], 96);
      const { starts, lows, highs } = listIntervals(pattern, field);
      let metal = 0;
      for (let c = 0; c + 1 < starts.length; c++) {
        for (let i = starts[c]; i < starts[c + 1]; i++) {
          metal += highs[i] - lows[i];
          if (i > starts[c]) expect(lows[i]).toBeGreaterThan(highs[i - 1]);
        }
        if (starts[c + 1] > starts[c]) {
          expect(lows[starts[c]]).toBeCloseTo(field.cells[4 * c + 1], 6);
          expect(highs[starts[c + 1] - 1]).toBeCloseTo(field.cells[4 * c], 6);
        }
      }
      expect(metal * field.column ** 2).toBeCloseTo(sumColumns(field).solidMm3, 6);
    }
  });
});
