import { alloys, elements, findAlloy } from '@oddside/foundry';
import { isOddsideError } from '@oddside/core';
import { describe, expect, it } from 'vitest';

const ranges = [
  'densityKgM3',
  'liquidDensityKgM3',
  'solidusC',
  'liquidusC',
  'pouringLightC',
  'pouringHeavyC',
  'contraction',
  'freezingShrinkage',
  'latentHeatKjKg',
  'solidHeatJKgK',
  'liquidHeatJKgK',
  'leastSection',
] as const;

describe('alloys', () => {
  it('are 30, with ids that differ', () => {
    expect(alloys).toHaveLength(30);
    expect(new Set(alloys.map((a) => a.id)).size).toBe(30);
  });

  it.each(alloys.map((a) => [a.id, a] as const))('%s is consistent with itself', (_, alloy) => {
    for (const key of ranges) {
      const { value, low, high, reference } = alloy[key];
      expect(low, key).toBeLessThanOrEqual(value);
      expect(value, key).toBeLessThanOrEqual(high);
      expect(reference.source.length, key).toBeGreaterThan(3);
      expect(['seen', 'from memory', 'common practice', 'derived']).toContain(reference.status);
    }
    expect(alloy.solidusC.value).toBeLessThanOrEqual(alloy.liquidusC.value);
    expect(alloy.pouringHeavyC.value).toBeLessThanOrEqual(alloy.pouringLightC.value);
    expect(alloy.pouringHeavyC.low).toBeGreaterThan(alloy.liquidusC.value);
    expect(alloy.liquidDensityKgM3.value).toBeLessThanOrEqual(alloy.densityKgM3.value);
    const sum = alloy.composition.reduce((total, part) => total + part.nominal, 0);
    expect(sum).toBeCloseTo(1, 12);
    for (const part of alloy.composition) {
      expect(elements[part.element].symbol).toBe(part.element);
      expect(part.nominal, part.element).toBeGreaterThanOrEqual(part.low - 1e-12);
      expect(part.nominal, part.element).toBeLessThanOrEqual(part.high + 1e-12);
    }
  });

  it('are frozen all the way down', () => {
    const deep = (value: unknown): boolean =>
      typeof value !== 'object' || value === null || (Object.isFrozen(value) && Object.values(value).every(deep));
    expect(deep(alloys)).toBe(true);
    expect(deep(elements)).toBe(true);
  });

  it('use 7.45 for C95400, not the 8.2 of one database', () => {
    expect(findAlloy('C95400').densityKgM3.value).toBe(7450);
  });
});

describe('findAlloy', () => {
  it.each([
    ['bz95_5', 'bz95_5'],
    ['95/5', 'bz95_5'],
    ['C51000', 'bz95_5'],
    ['UNS C90500', 'c90500'],
    ['Gun-Metal', 'c90500'],
    ['88/10/2', 'c90500'],
    ['sae 62', 'c90500'],
    ['A356.0', 'a356'],
    ['LM25', 'a356'],
    ['ounce metal', 'c83600'],
    ['yellow brass', 'c85300'],
    ['cast iron', 'gi'],
    ['EN-GJL-200', 'gi'],
    ['Pewter', 'pew'],
  ])('knows %s as %s', (name, id) => {
    expect(findAlloy(name).id).toBe(id);
  });

  it('leads every name to one alloy', () => {
    for (const alloy of alloys) {
      for (const name of [alloy.id, alloy.name, ...alloy.standards, ...alloy.alsoCalled]) {
        expect(findAlloy(name).id, name).toBe(alloy.id);
      }
    }
  });

  it.each(['bronze', 'c90501', 'gunmetl', '', '  ', 'long'])('offers the nearest for "%s"', (typed) => {
    const name = typed === 'long' ? 'x'.repeat(5000) : typed;
    expect.assertions(4);
    try {
      findAlloy(name);
    } catch (error) {
      expect(isOddsideError(error)).toBe(true);
      if (!isOddsideError(error)) return;
      expect(error.code).toBe('unknown-alloy');
      expect((error.details['nearest'] as string[]).length).toBeGreaterThan(0);
      expect(error.message.length).toBeLessThan(600);
    }
  });

  it('names the right neighbour for a slip', () => {
    const nearest = (name: string): unknown => {
      try {
        return findAlloy(name);
      } catch (error) {
        return isOddsideError(error) ? error.details['nearest'] : error;
      }
    };
    expect(nearest('gunmetl')).toContain('c90500');
    expect(nearest('c90501')).toContain('c90500');
    expect(nearest('aluminium')).toContain('a356');
  });
});
