import { findAlloy, planMetal, planPour, sizeGating } from '@oddside/foundry';
import { describe, expect, it } from 'vitest';

const cleat = {
  alloy: 'c90500',
  castingVolumeMm3: 300e3,
  castingAreaMm2: 60e3,
  section: 12,
  castingHeight: 60,
  copeCavityHeight: 30,
  copeDepth: 90,
} as const;

describe('planPour', () => {
  const plan = planPour(cleat);

  it('settles: what is poured is casting, feeder and the gating sized for what is poured', () => {
    expect(plan.agreed).toBe(true);
    expect(plan.rounds).toBeLessThan(60);
    const density = findAlloy('c90500').densityKgM3.value * 1e-9;
    const parts = (300e3 + plan.feederVolumeMm3 + plan.gating.volumeMm3) * density;
    expect(plan.pouredMassKg / parts).toBeCloseTo(1, 8);
    const again = sizeGating({
      alloy: 'c90500',
      massKg: plan.pouredMassKg,
      section: 12,
      sprueHeight: 130,
      cavityHeight: 60,
      copeCavityHeight: 30,
    });
    expect(plan.gating.volumeMm3 / again.volumeMm3).toBeCloseTo(1, 8);
  });

  it('feeds the total back to planMetal, a tenth to spare', () => {
    const metal = planMetal({
      alloy: 'c90500',
      castingVolumeMm3: 300e3,
      systemVolumeMm3: plan.gating.volumeMm3 + plan.feederVolumeMm3,
    });
    expect(plan.metal.meltMassKg.value).toBeCloseTo(metal.meltMassKg.value, 9);
    expect(plan.metal.meltMassKg.value).toBeCloseTo(plan.pouredMassKg * 1.1, 6);
    expect(plan.metal.yieldFraction.value).toBeCloseTo(plan.metal.castingMassKg.value / plan.metal.meltMassKg.value, 9);
  });

  it('comes to a yield that shops know', () => {
    expect(plan.metal.yieldFraction.value).toBeGreaterThan(0.3);
    expect(plan.metal.yieldFraction.value).toBeLessThan(0.75);
  });

  it('brings metal in below its critical speed', () => {
    expect(plan.gating.gateVelocityMS).toBeLessThanOrEqual(plan.gating.criticalVelocityMS * (1 + 1e-9));
  });

  it('sizes a feeder from the surface, none for iron, and says when it cannot', () => {
    expect(plan.feeder!.castingModulus).toBeCloseTo(5, 9);
    expect(planPour({ ...cleat, alloy: 'gi' }).feeder).toBeUndefined();
    const blind = planPour({ ...cleat, castingAreaMm2: undefined });
    expect(blind.findings.map((f) => f.code)).toContain('no-feeder-sized');
    const none = planPour({ ...cleat, feederVolumeMm3: 0 });
    expect(none.pouredMassKg).toBeLessThan(plan.pouredMassKg);
    expect(none.findings.map((f) => f.code)).not.toContain('no-feeder-sized');
  });

  it('warns of a section that freezes while it fills', () => {
    const thin = planPour({ ...cleat, section: 2, feederVolumeMm3: 0 });
    expect(thin.findings.map((f) => f.code)).toEqual(
      expect.arrayContaining(['may-freeze-while-filling', 'section-too-thin']),
    );
    expect(planPour({ ...cleat, section: 30, feederVolumeMm3: 0 }).findings.map((f) => f.code)).not.toContain(
      'may-freeze-while-filling',
    );
  });

  it('refuses a cavity higher than the cope', () => {
    expect(() => planPour({ ...cleat, copeDepth: 25 })).toThrow(/only 25 mm deep/);
    expect(() => planPour({ ...cleat, copeCavityHeight: 90 })).toThrow(/copeCavityHeight/);
  });

  it('works for every gate and every kind of metal', () => {
    for (const gate of ['top', 'parting', 'bottom'] as const) {
      for (const alloy of ['a356', 'lm6', 'za12', 'c87300', 'c95400', 'c86500', 'gi', 'steel', 'pew', 'ag925']) {
        const poured = planPour({ ...cleat, alloy, gate });
        expect(poured.agreed, `${alloy} ${gate}`).toBe(true);
        expect(poured.metal.cautions.length).toBeGreaterThan(5);
      }
    }
  });
});

describe('sizeGating', () => {
  const base = { alloy: 'a356', massKg: 2, sprueHeight: 120, cavityHeight: 40, copeCavityHeight: 20 } as const;

  it('widens gates until the metal is quiet, and says so; or leaves them and warns', () => {
    const narrow = { ...base, ratio: [1, 1, 1] as const };
    const widened = sizeGating(narrow);
    expect(widened.gateVelocityMS).toBeCloseTo(widened.criticalVelocityMS, 9);
    expect(widened.findings.map((f) => f.code)).toContain('gates-widened');
    const left = sizeGating({ ...narrow, widenGates: false });
    expect(left.gateVelocityMS).toBeGreaterThan(left.criticalVelocityMS);
    expect(left.findings.find((f) => f.code === 'gate-velocity-high')!.severity).toBe('warning');
  });

  it('keeps iron pressurised and only notes its speed', () => {
    const iron = sizeGating({ ...base, alloy: 'gi' });
    expect(iron.gateAreaMm2).toBeLessThan(iron.chokeAreaMm2.value);
    expect(iron.findings.find((f) => f.code === 'gate-velocity-high')!.severity).toBe('note');
  });

  it('adds up its parts', () => {
    const { parts, volumeMm3 } = sizeGating(base);
    const sum =
      parts.basin.volumeMm3 +
      parts.sprue.volumeMm3 +
      parts.well.volumeMm3 +
      parts.runner.volumeMm3 +
      parts.gates.volumeMm3;
    expect(volumeMm3).toBeCloseTo(sum, 6);
    expect(parts.well.diameter).toBeCloseTo(2 * parts.sprue.exitDiameter, 9);
    expect(parts.gates.width * parts.gates.height * parts.gates.count * parts.gates.length).toBeCloseTo(
      parts.gates.volumeMm3,
      6,
    );
  });

  it('refuses heights that cannot fill', () => {
    expect(() => sizeGating({ ...base, cavityHeight: 300, copeCavityHeight: 200 })).toThrow(/cannot fill/);
    expect(() => sizeGating({ ...base, basinDepth: 120 })).toThrow(/part of sprueHeight/);
    expect(() => sizeGating({ ...base, gate: 'side' as never })).toThrow(/gate must be/);
  });
});
