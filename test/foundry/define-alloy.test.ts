import { alloys, defineAlloy, findAlloy, patternFromCasting, planMetal } from '@oddside/foundry';
import { describe, expect, it } from 'vitest';

describe('defineAlloy', () => {
  it('mixes copper and tin within 1.5 %, and offers the nearest listed alloy', () => {
    const own = defineAlloy({ composition: { Cu: 0.94, Sn: 0.06 } });
    expect(own.nearest.id).toBe('bz95_5');
    expect(own.nearest.distance).toBeCloseTo(0.01, 12);
    expect(own.reliable).toBe(true);
    expect(own.densityKgM3.high / own.densityKgM3.value).toBeCloseTo(1.015, 12);
    expect(own.findings.map((f) => f.code)).toEqual(['nearest-alloy']);
  });

  it('can be used wherever an alloy is asked for', () => {
    const own = defineAlloy({ name: 'trust bronze', composition: { Cu: 0.94, Sn: 0.06 }, contraction: 0.016 });
    const plan = planMetal({ alloy: own, castingVolumeMm3: 1e5, yieldFraction: 0.6 });
    expect(plan.castingMassKg.value).toBeCloseTo((own.densityKgM3.value * 1e5) / 1e9, 12);
    expect(plan.charge.map((row) => [row.element, row.share])).toEqual([
      ['Cu', 0.94],
      ['Sn', 0.06],
    ]);
    expect(patternFromCasting({ alloy: own, sizes: [100] }).patternSizes[0]!.value).toBeCloseTo(101.6, 9);
  });

  // The errors of mixing against data sheets, per cent; derived. The known-bad families must say so.
  it.each([
    ['bz95_5', 0],
    ['bz90_10', -0.1],
    ['c90300', -1.1],
    ['c90500', -0.1],
    ['c92200', 1.5],
    ['c83600', 0.1],
    ['c87300', -4],
    ['c87500', -5.9],
    ['c95400', -4.6],
    ['c86500', -4.5],
    ['c85400', -0.8],
    ['a356', -0.7],
    ['a319', -1.8],
    ['lm6', 0],
    ['a535', -0.8],
    ['za8', -0.3],
    ['za12', 0.4],
    ['za27', -0.8],
    ['ag925', 0],
    ['pew', -0.2],
    ['gi', -2.8],
  ])('mixes %s %f % off its data sheet, and its range covers that', (id, percent) => {
    const alloy = findAlloy(id);
    const composition = Object.fromEntries(alloy.composition.map((p) => [p.element, p.nominal]));
    const own = defineAlloy({ composition });
    const off = (own.densityKgM3.value / alloy.densityKgM3.value - 1) * 100;
    expect(Math.abs(off - percent)).toBeLessThan(0.25);
    expect(own.nearest.id).toBe(id);
    expect(own.densityKgM3.low).toBeLessThanOrEqual(alloy.densityKgM3.value * 1.002);
    expect(own.densityKgM3.high).toBeGreaterThanOrEqual(alloy.densityKgM3.value * 0.998);
    if (Math.abs(percent) >= 2.5) {
      expect(own.reliable).toBe(false);
      expect(own.findings.map((f) => f.code)).toContain('mixture-density-poor');
    }
  });

  it('never claims more than the nearest alloy: distance zero for each listed one', () => {
    for (const alloy of alloys) {
      const own = defineAlloy({
        composition: Object.fromEntries(alloy.composition.map((p) => [p.element, p.nominal])),
      });
      expect(own.nearest.distance).toBeLessThan(1e-9);
    }
  });

  it('widens the borrowed figures with the distance', () => {
    const far = defineAlloy({ composition: { Cu: 0.5, Ni: 0.5 } });
    expect(far.findings[0]!.severity).toBe('warning');
    expect(far.reliable).toBe(false);
    const model = findAlloy(far.nearest.id);
    expect(far.pouringLightC.high - far.pouringLightC.low).toBeGreaterThan(
      model.pouringLightC.high - model.pouringLightC.low,
    );
  });

  it('refuses what is no composition', () => {
    expect(() => defineAlloy({ composition: { Cu: 95, Sn: 5 } })).toThrow(/0–1/);
    expect(() => defineAlloy({ composition: { Cu: 0.5, Sn: 0.4 } })).toThrow(/sum to 1/);
    expect(() => defineAlloy({ composition: { Cu: 0.5, Xx: 0.5 } as never })).toThrow(/Did you mean/);
    expect(() => defineAlloy({ composition: {} })).toThrow(/sum to 1/);
    expect(() => defineAlloy(undefined as never)).toThrow(/composition by element/);
  });
});
