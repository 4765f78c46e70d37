import { alloys, cautionsFor } from '@oddside/foundry';
import { describe, expect, it } from 'vitest';

const codes = (alloy: string, options?: Parameters<typeof cautionsFor>[1]): string[] =>
  cautionsFor(alloy, options).map((c) => c.code);

describe('cautionsFor', () => {
  it('puts local codes first for every alloy, with text and source', () => {
    for (const alloy of alloys) {
      const list = cautionsFor(alloy);
      expect(list[0]!.code).toBe('local-codes-first');
      expect(new Set(list.map((c) => c.code)).size).toBe(list.length);
      for (const caution of list) {
        expect(caution.text.length).toBeGreaterThan(20);
        expect(caution.reference.source.length).toBeGreaterThan(3);
      }
    }
  });

  it('knows what each alloy is dangerous for', () => {
    expect(codes('c85300')).toContain('zinc-fume');
    expect(codes('c86500')).toEqual(expect.arrayContaining(['zinc-fume', 'no-flaring', 'manganese-fume']));
    expect(codes('c83600')).toEqual(expect.arrayContaining(['lead', 'some-zinc', 'copper-fume']));
    expect(codes('a535')).toEqual(expect.arrayContaining(['beryllium', 'magnesium', 'thermite']));
    expect(codes('za12')).toContain('zinc-overheated');
    expect(codes('steel')).toEqual(expect.arrayContaining(['beyond-small-furnaces', 'iron-heat']));
    expect(codes('a356')).not.toContain('lead');
    expect(codes('bz95_5')).not.toContain('zinc-fume');
  });

  it('narrows by step and grows with quantity', () => {
    const pouring = cautionsFor('gi', { steps: ['pouring'] });
    expect(pouring.every((c) => c.when === 'pouring' || c.when === 'always')).toBe(true);
    expect(pouring[0]!.code).toBe('local-codes-first');
    expect(codes('gi', { massKg: 25 })).toContain('two-to-lift');
    expect(codes('gi', { massKg: 3 })).not.toContain('two-to-lift');
    expect(() => cautionsFor('gi', { steps: ['dancing' as never] })).toThrow(
      /a step must be moulding, .* or finishing/,
    );
  });
});
