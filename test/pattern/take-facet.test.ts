import { decodePattern, type Pattern } from '@oddside/pattern';
import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { asciiStl, bytesOf } from './stl-bytes.js';
import { sphere } from '../helpers/shapes.js';

const SEED = 20261125;
const read = (text: string): Pattern => decodePattern(bytesOf(text), { unit: 'mm' });
const codes = (pattern: Pattern): string[] => pattern.findings.map((finding) => finding.code);

const facetOf = (corners: readonly string[]): string =>
  `facet normal 0 -1e0 .5\n outer loop\n  vertex ${corners[0]}\n  vertex ${corners[1]}\n  vertex ${corners[2]}\n endloop\nendfacet\n`;
/** The numbers as coordinates of facets, each where welding cannot hide it. */
const solidOf = (numbers: readonly string[]): string =>
  `solid a\n${numbers.map((n, i) => facetOf([`${n} 0 ${i}`, `0 ${n} ${i}`, `1 1 ${n}`])).join('')}endsolid a\n`;

const digits = (min: number, max: number): fc.Arbitrary<string> =>
  fc
    .array(fc.integer({ min: 0, max: 9 }), { minLength: min, maxLength: max })
    .map((list: number[]): string => list.join(''));
const sign = fc.constantFrom('', '-', '+');
const written: fc.Arbitrary<string> = fc.oneof(
  fc.tuple(sign, digits(1, 15)).map((parts) => parts.join('')),
  fc.tuple(sign, digits(0, 8), fc.constant('.'), digits(1, 25)).map((parts) => parts.join('')),
  fc.tuple(sign, digits(1, 4), fc.constant('.'), digits(0, 20), fc.constantFrom('e', 'E'), fc.constant('-'), digits(1, 3)).map((parts) => parts.join('')), // prettier-ignore
  fc.tuple(sign, digits(1, 9), fc.constantFrom('e+', 'E', 'e00'), fc.integer({ min: 0, max: 5 })).map((parts) => parts.join('')), // prettier-ignore
  fc.double({ min: -1e15, max: 1e15, noNaN: true }).map(String),
  fc.float({ min: -1000, max: 1000, noNaN: true }).map(String),
  fc.tuple(fc.double({ min: -1, max: 1, noNaN: true }), fc.integer({ min: 0, max: 25 })).map(([x, n]) => x.toExponential(n)), // prettier-ignore
);

describe('facets of the usual shape', () => {
  test(`numbers are the doubles that the engine's own parser gives, seed ${SEED}`, () => {
    const check = (numbers: string[]): void => {
      const pattern = read(solidOf(numbers));
      expect(codes(pattern).filter((code) => !code.includes('size') && !code.includes('unit'))).toEqual([]);
      const { positions, triangles } = pattern;
      const at = (corner: number, axis: number): number => positions[triangles[corner] * 3 + axis];
      numbers.forEach((text, i) => {
        // Adding 0 makes one zero of the two, as welding does.
        const value = Number(text) + 0;
        expect([at(3 * i, 0), at(3 * i + 1, 1), at(3 * i + 2, 2)]).toEqual([value, value, value]);
      });
    };
    fc.assert(fc.property(fc.array(written, { minLength: 1, maxLength: 30 }), check), { seed: SEED, numRuns: 500 });
    check(['5e-324', '2.2250738585072011e-308', '900719925474099.31', '0.30000000000000004', '123456789012345678e-18']);
    check(['1e-400', '0.000000000000000000000000001', '-0', '999999999', '9999999999', '999999999999999.9']);
    check(['1.7976931348623157e-300', '00000000000000000000012', '.5', '5.', '+0.1e+1']);
  });

  test(`the same as word by word, wherever a shape is not the usual one, seed ${SEED}`, () => {
    // A word that does not belong there sends a facet to the reader of words and is itself only counted.
    const facet = fc.tuple(fc.array(written, { minLength: 9, maxLength: 9 }), fc.boolean());
    const property = fc.property(fc.array(facet, { minLength: 1, maxLength: 12 }), (facets) => {
      const corners = facets.map(([n]) => [0, 3, 6].map((k) => n.slice(k, k + 3).join(' ')));
      const usual = read(`solid\n${corners.map(facetOf).join('')}endsolid\n`);
      const odd = (i: number): boolean => facets[i][1];
      const mixed = corners.map((c, i) => (odd(i) ? facetOf(c).replace('endloop', 'endloop odd') : facetOf(c)));
      const pattern = read(`solid\n${mixed.join('')}endsolid\n`);
      expect(pattern.positions).toEqual(usual.positions);
      expect(pattern.triangles).toEqual(usual.triangles);
      expect(codes(pattern).includes('strange-words')).toBe(facets.some((_, i) => odd(i)));
    });
    fc.assert(property, { seed: SEED, numRuns: 300 });
  });

  test('a file cut at any byte loses the facets from there on and no other', () => {
    const text = asciiStl(sphere(10, 0));
    const ends = [...text.matchAll(/endfacet/g)].map((match) => match.index + 8);
    for (let cut = ends[0]; cut < text.length; cut++) {
      expect(read(text.slice(0, cut)).triangles.length / 3).toBe(ends.filter((end) => end <= cut).length);
    }
  });

  test('one letter wrong in any keyword: that facet is dealt with, its neighbours stay', () => {
    const good = facetOf(['0 0 0', '9 0 0', '0 9 0']);
    const letters = [...good.matchAll(/[a-z]/g)].map((match) => match.index).filter((i) => good[i] !== 'e' || good[i - 1] !== '1'); // prettier-ignore
    for (const i of letters) {
      const wrong = `${good.slice(0, i)}~${good.slice(i + 1)}`;
      const pattern = read(`solid\n${good}${wrong}${good}endsolid\n`);
      expect(codes(pattern)).toContain('strange-words');
      expect(pattern.triangles.length / 3).toBeGreaterThan(0);
      expect(pattern.triangles.length / 3).toBeLessThanOrEqual(3);
      expect(pattern.triangles.slice(0, 3)).toEqual(Uint32Array.of(0, 1, 2));
    }
  });
});
