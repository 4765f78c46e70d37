/**
 * O29: what a ball that fits says of a body's modulus depends on the body's kind. Expected values are derived: V/A of an
 * endless plate, an endless round bar and a ball of inscribed radius r is r, r/2 and r/3; heat made evenly inside and let
 * out at the skin (Poisson's equation with source 1, skin at 0) leaves r²/2, r²/4 and r²/6 in the middle.
 */
import { modulusOf } from '@oddside/foundry';
import { measurePattern, measureSections } from '@oddside/pattern';
import { describe, expect, it } from 'vitest';
import { asPattern, box, extrude, sphere, type Mesh } from '../helpers/shapes.js';

const R = 5;
const LONG = 4000;
const SIDES = 128;

const round = Array.from({ length: SIDES }, (_, i): [number, number] => {
  // Flats, not corners, at the radius: the ball that fits is R exactly.
  const out = R / Math.cos(Math.PI / SIDES);
  return [out * Math.cos((2 * Math.PI * i) / SIDES), out * Math.sin((2 * Math.PI * i) / SIDES)];
});

/** Kind, its dimensions of cooling, a mesh of it, the modulus of the endless shape, and how far ends and facets change V/A. */
const KINDS: [string, number, Mesh, number, number][] = [
  [
    'plate',
    1,
    box([0, 0, 0], [LONG, LONG, 2 * R]),
    modulusOf({ shape: 'endless plate', thickness: 2 * R }).modulus,
    0.006,
  ],
  ['bar', 2, extrude(round, LONG), modulusOf({ shape: 'endless round bar', diameter: 2 * R }).modulus, 0.002],
  ['ball', 3, sphere(R, 5), modulusOf({ shape: 'sphere', diameter: 2 * R }).modulus, 0.001],
];

/** The middle of a plate, bar or ball that makes heat evenly: flux by flux inwards, on so many rings. */
function warmest(dimensions: number, radius: number, rings = 20_000): number {
  let warm = 0;
  for (let k = rings; k > 0; k--) {
    const middle = ((k - 0.5) / rings) * radius;
    // What is made inside a ring leaves through it: flux times skin is source times volume.
    warm += (middle / dimensions) * (radius / rings);
  }
  return warm;
}

describe('O29 modulus and the ball that fits', () => {
  it.each(KINDS)('%s: V/A is r over its dimensions, by mesh and by formula', (_, dimensions, mesh, modulus, off) => {
    expect(modulus).toBeCloseTo(R / dimensions, 12);
    const { volumeMm3, areaMm2 } = measurePattern(asPattern(mesh));
    expect(Math.abs(volumeMm3 / areaMm2 / modulus - 1)).toBeLessThan(off);
  });

  it.each(KINDS)('%s: the warmest place is half of r times V/A', async (_, dimensions, mesh, modulus) => {
    const { metal } = await measureSections(asPattern(mesh), { samples: 1500 });
    const radius = metal.thickest!.thickness / 2;
    expect(Math.abs(radius / R - 1)).toBeLessThan(0.005);
    const expected = R ** 2 / (2 * dimensions);
    expect(Math.abs(warmest(dimensions, R) / expected - 1)).toBeLessThan(1e-6);
    expect(Math.abs((radius * modulus) / 2 / expected - 1)).toBeLessThan(0.005);
  });
});
