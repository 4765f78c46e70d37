import { asPounds, isOddsideError, pounds } from '@oddside/core';
import { BANNER, findAlloy, planMetal, typicalYield } from '@oddside/foundry';
import { describe, expect, it } from 'vitest';

const code = (run: () => unknown): string => {
  try {
    run();
    return 'no error';
  } catch (error) {
    return isOddsideError(error) ? error.code : String(error);
  }
};

describe('the shop check (common practice, no source)', () => {
  // A solid 95/5 copper-tin piece of 410 cm³ weighs 8 lb; 13 lb were melted for it.
  const plan = planMetal({ alloy: '95/5', castingVolumeMm3: 410e3, meltMassKg: pounds(13) });

  it('weighs 8 lb', () => {
    expect(asPounds(plan.castingMassKg.value)).toBeCloseTo(8, 1);
    expect(plan.castingMassKg.value).toBeCloseTo(0.41 * 8.86, 12);
  });

  it('is a yield of 61.5 %', () => {
    expect(plan.yieldFraction.value).toBeCloseTo(0.615, 2);
    expect(8 / 13).toBeCloseTo(plan.yieldFraction.value, 2);
  });

  it('holds 12.35 lb copper and 0.65 lb tin before losses', () => {
    expect(plan.charge.map((row) => row.element)).toEqual(['Cu', 'Sn']);
    expect(asPounds(plan.charge[0]!.netMassKg)).toBeCloseTo(12.35, 10);
    expect(asPounds(plan.charge[1]!.netMassKg)).toBeCloseTo(0.65, 10);
  });

  it('comes to the same melt from the yield', () => {
    const byYield = planMetal({ alloy: 'bz95_5', castingVolumeMm3: pounds(8) / 8860e-9, yieldFraction: 8 / 13 });
    expect(asPounds(byYield.meltMassKg.value)).toBeCloseTo(13, 9);
  });

  it('sits comfortably in a No. 6 pot (79 % full) and tightly in a No. 5 (95 %)', () => {
    expect(plan.crucible.number).toBe(6);
    expect(plan.crucible.fullness).toBeCloseTo(0.79, 2);
    const five = planMetal({ alloy: '95/5', castingVolumeMm3: 410e3, meltMassKg: pounds(13), crucibleNumber: 5 });
    expect(five.crucible.fullness).toBeCloseTo(0.948, 2);
    expect(five.findings.map((f) => f.code)).toContain('pot-tight');
  });

  it('runs low risk, with workings, cautions and the banner', () => {
    expect(plan.verdict.risk).toBe('low');
    expect(plan.cautions[0]!.code).toBe('local-codes-first');
    expect(plan.banner).toBe(BANNER);
    expect(plan.workings.map((w) => w.formula)).toContain('casting mass');
    expect(plan.pouringTemperatureC.light.value).toBe(findAlloy('95/5').pouringLightC.value);
  });
});

describe('planMetal', () => {
  it('covers melt losses: 5.9 kg of 95/5 at 0.5 and 1 % takes 5.633 kg copper and 0.298 kg tin', () => {
    const plan = planMetal({
      alloy: '95/5',
      castingVolumeMm3: 400e3,
      meltMassKg: 5.9,
      lossFractions: { Cu: 0.005, Sn: 0.01 },
    });
    expect(plan.charge[0]!.massKg).toBeCloseTo(5.633, 3);
    expect(plan.charge[1]!.massKg).toBeCloseTo(0.298, 3);
    expect(plan.chargeMassKg.value).toBeCloseTo(5.931, 3);
  });

  it('widens with the volume error and says so', () => {
    const tight = planMetal({ alloy: 'a356', castingVolumeMm3: 100e3 });
    const wide = planMetal({ alloy: 'a356', castingVolumeMm3: 100e3, volumeErrorMm3: 30e3 });
    expect(wide.castingMassKg.value).toBe(tight.castingMassKg.value);
    expect(wide.castingMassKg.high - wide.castingMassKg.low).toBeGreaterThan(0.6 * 0.2685);
    expect(wide.reliable).toBe(false);
    expect(wide.findings.map((f) => f.code)).toContain('mass-uncertain');
    expect(tight.reliable).toBe(true);
  });

  it('says when a yield is only assumed, and takes the usual one', () => {
    const plan = planMetal({ alloy: 'gi', castingVolumeMm3: 1e6 });
    expect(plan.findings.map((f) => f.code)).toContain('yield-assumed');
    expect(plan.yieldFraction.value).toBe(typicalYield(findAlloy('gi')).value);
    expect(plan.charge.map((row) => row.element)).toEqual(['Fe', 'C', 'Si', 'Mn']);
  });

  it('computes the melt from a sized system with a tenth to spare', () => {
    const plan = planMetal({ alloy: 'c90500', castingVolumeMm3: 300e3, systemVolumeMm3: 200e3 });
    expect(plan.meltMassKg.value).toBeCloseTo(0.5 * 8.72 * 1.1, 10);
    expect(plan.yieldFraction.value).toBeCloseTo(300 / 500 / 1.1, 10);
  });

  it('adds measured rapping', () => {
    const plan = planMetal({ alloy: 'c90500', castingVolumeMm3: 1e6, rapping: 0.5, areaMm2: 60e3 });
    expect(plan.castingMassKg.value).toBeCloseTo(1.03 * 8.72, 10);
  });

  it.each([
    ['a melt smaller than the casting', { meltMassKg: 3 }, 'high'],
    ['a yield nobody reaches', { yieldFraction: 0.95 }, 'high'],
    ['a yield above the usual', { yieldFraction: 0.7 }, 'some'],
    ['too little metal at hand', { yieldFraction: 0.6, availableMassKg: 5.5 }, 'high'],
    ['barely enough metal at hand', { yieldFraction: 0.6, availableMassKg: 6.3 }, 'some'],
    ['plenty of metal at hand', { yieldFraction: 0.6, availableMassKg: 9 }, 'low'],
  ] as const)('judges %s', (_, more, risk) => {
    const plan = planMetal({ alloy: '95/5', castingVolumeMm3: 410e3, ...more });
    expect(plan.verdict.risk).toBe(risk);
    expect(plan.findings.some((f) => f.code === 'short-pour')).toBe(risk !== 'low');
  });

  it('passes on what the alloy is not good for', () => {
    const notes = planMetal({ alloy: 'snbi', castingVolumeMm3: 1e4 }).findings.filter((f) => f.code === 'alloy-note');
    expect(notes.map((f) => f.message).join(' ')).toContain('No published foundry figures');
  });

  it('refuses bad input in words', () => {
    expect(code(() => planMetal({ alloy: { id: 'x' } as never, castingVolumeMm3: 1e5 }))).toBe('unknown-alloy');
    const volume = { castingVolumeMm3: 1e5 };
    expect(code(() => planMetal({ alloy: 'unobtainium', ...volume }))).toBe('unknown-alloy');
    expect(code(() => planMetal({ alloy: 'cu', castingVolumeMm3: 0 }))).toBe('bad-number');
    expect(code(() => planMetal({ alloy: 'cu', castingVolumeMm3: NaN }))).toBe('bad-number');
    expect(code(() => planMetal({ alloy: 'cu', ...volume, yieldFraction: 61.5 }))).toBe('bad-number');
    expect(code(() => planMetal({ alloy: 'cu', ...volume, yieldFraction: 0.6, meltMassKg: 2 }))).toBe('bad-option');
    expect(code(() => planMetal({ alloy: 'cu', ...volume, rapping: 1 }))).toBe('bad-option');
    expect(code(() => planMetal({ alloy: 'cu', ...volume, lossFractions: { Xx: 0.1 } as never }))).toBe('unknown-name');
    expect(code(() => planMetal({ alloy: 'cu', ...volume, yeildFraction: 0.6 } as never))).toBe('bad-option');
    expect(code(() => planMetal(undefined as never))).toBe('unknown-alloy');
  });
});
