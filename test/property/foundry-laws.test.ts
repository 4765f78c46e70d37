/** Laws that must hold for any numbers: mass balance, monotone physics, scaling, round trips, independent routes. */
import { asFahrenheit, asInches, asPounds, fahrenheit, inches, pounds } from '@oddside/core';
import {
  alloys,
  brimVolumeOf,
  castingFromPattern,
  castingTolerance,
  copeLift,
  defineAlloy,
  type ElementSymbol,
  feederByCaine,
  fillTime,
  machiningAllowance,
  meltHeat,
  minutesPerCm2,
  minutesPerMm2,
  modulusOf,
  patternFromCasting,
  planCharge,
  planMetal,
  planPour,
  pouringTime,
  sandForFlask,
  type ShelfItem,
  shakeOutTime,
  sizeFeeder,
  sizeGating,
  solidificationTime,
  weightCope,
} from '@oddside/foundry';
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';

const check = (property: fc.IPropertyWithHooks<never> | fc.IProperty<never>): void =>
  fc.assert(property as fc.IProperty<never>, { seed: 18760722, numRuns: 200 });
const law = <T extends [unknown, ...unknown[]]>(
  ...parts: [...{ [K in keyof T]: fc.Arbitrary<T[K]> }, (...values: T) => void]
): void => check((fc.property as (...all: unknown[]) => unknown)(...parts) as fc.IProperty<never>);

const between = (min: number, max: number): fc.Arbitrary<number> => fc.double({ min, max, noNaN: true });
const alloyId = fc.constantFrom(...alloys.map((a) => a.id));
/** Relative to the larger of the two, and to a thousandth where both are next to nothing (of 1 kg, 1 N, 1 mm). */
const close = (got: number, expected: number, tolerance = 1e-9): void =>
  expect(Math.abs(got - expected)).toBeLessThanOrEqual(tolerance * Math.max(1e-3, Math.abs(expected), Math.abs(got)));

const symbols: readonly ElementSymbol[] = ['Cu', 'Sn', 'Zn', 'Pb', 'Al', 'Si', 'Fe', 'Mn'];
const shares = fc
  .array(between(0.01, 1), { minLength: symbols.length, maxLength: symbols.length })
  .map((weights) => weights.map((w) => w ** 3))
  .map((weights) => {
    const total = weights.reduce((a, b) => a + b, 0);
    return Object.fromEntries(symbols.map((symbol, i) => [symbol, weights[i]! / total]));
  });
const shelfItem = fc.record({
  composition: shares,
  massKg: fc.option(between(0, 20), { nil: undefined }),
  pricePerKg: between(0, 40),
  kind: fc.constantFrom('ingot', 'scrap', 'returns', 'pure metal', 'master alloy') as fc.Arbitrary<ShelfItem['kind']>,
});
const shelf = fc
  .array(shelfItem, { minLength: 1, maxLength: 6 })
  .map((items) => items.map((item, i): ShelfItem => ({ ...item, name: `bin ${i}` })));

describe('mass balance', () => {
  it('closes for any charge, feasible or not', () => {
    law(alloyId, between(0.1, 100), shelf, (alloy, meltMassKg, items) => {
      const plan = planCharge({ alloy, meltMassKg, shelf: items });
      const sum = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0);
      close(sum(plan.picks.map((p) => p.massKg)), plan.chargeMassKg);
      close(plan.chargeMassKg, plan.meltMassKg + plan.lossMassKg);
      close(sum(plan.melt.map((row) => row.massKg)), plan.meltMassKg, 1e-9);
      close(plan.meltMassKg + plan.shortMassKg, meltMassKg, 2e-6);
      for (const row of plan.melt) {
        const charged = sum(
          plan.picks.map((p) => {
            const { composition } = items.find((item) => item.name === p.name)!;
            const total = sum(Object.values(composition));
            return (p.massKg * (composition[row.element] ?? 0)) / total;
          }),
        );
        expect(Math.abs(charged - row.chargedKg)).toBeLessThanOrEqual(1e-9 * meltMassKg);
      }
      for (const pick of plan.picks) {
        const there = items.find((item) => item.name === pick.name)!.massKg ?? Infinity;
        expect(pick.massKg).toBeLessThanOrEqual(there + 1e-6 * meltMassKg);
      }
      expect(plan.feasible).toBe(plan.misfits.length === 0 && plan.shortMassKg === 0);
    });
  });

  it('a feasible charge is never dearer than a known feasible one', () => {
    law(between(0, 1), between(1, 40), between(1, 40), between(1, 40), (mix, a, b, c) => {
      const items: ShelfItem[] = [
        { name: 'weak', composition: { Cu: 0.96, Sn: 0.04 }, pricePerKg: a },
        { name: 'strong', composition: { Cu: 0.93, Sn: 0.07 }, pricePerKg: b },
        { name: 'copper', composition: { Cu: 1 }, pricePerKg: c },
      ];
      const none = { Cu: 0, Sn: 0 };
      const plan = planCharge({ alloy: 'bz95_5', meltMassKg: 1, shelf: items, lossFractions: none, marginFraction: 0 });
      // 4.2 to 5.8 % tin: any mix of weak and strong between these shares of strong is feasible.
      const strong = 0.2 / 3 + mix * (1.6 / 3);
      expect(plan.feasible).toBe(true);
      expect(plan.cost).toBeLessThanOrEqual((1 - strong) * a + strong * b + 1e-4);
    });
  });

  it('planMetal: charge less losses is the melt, shares sum to 1', () => {
    law(alloyId, between(1e3, 1e7), between(0.2, 0.9), (alloy, castingVolumeMm3, yieldFraction) => {
      const plan = planMetal({ alloy, castingVolumeMm3, yieldFraction });
      const net = plan.charge.reduce((sum, row) => sum + row.massKg * (1 - row.lossFraction), 0);
      close(net, plan.meltMassKg.value);
      close(
        plan.charge.reduce((sum, row) => sum + row.share, 0),
        1,
      );
      close(plan.castingMassKg.value / plan.meltMassKg.value, yieldFraction);
      expect(plan.chargeMassKg.value).toBeGreaterThanOrEqual(plan.meltMassKg.value);
    });
  });

  it('planPour always settles on what it pours', () => {
    law(alloyId, between(1e4, 3e6), between(20, 120), between(0, 0.9), (alloy, castingVolumeMm3, height, part) => {
      const plan = planPour({
        alloy,
        castingVolumeMm3,
        castingHeight: height,
        copeCavityHeight: part * height,
        copeDepth: height + 60,
        feederVolumeMm3: 0.3 * castingVolumeMm3,
      });
      expect(plan.agreed).toBe(true);
      close(plan.metal.meltMassKg.value, 1.1 * plan.pouredMassKg, 1e-6);
    });
  });
});

describe('monotone physics', () => {
  const more = fc.tuple(between(1, 500), between(1.01, 3));
  it('more head, less time', () => {
    law(more, between(1e4, 1e7), between(20, 500), ([h, factor], volumeMm3, chokeAreaMm2) => {
      const time = (sprueHeight: number): number =>
        fillTime({ gate: 'top', sprueHeight, cavityHeight: 0, volumeMm3, chokeAreaMm2 }).timeS.value;
      expect(time(h * factor)).toBeLessThan(time(h));
      close(time(h) / time(h * factor), Math.sqrt(factor));
    });
  });

  it('a bottom gate is never faster than a top gate, and never twice as slow', () => {
    law(between(20, 500), between(0, 1), (h, part) => {
      const time = (gate: 'top' | 'bottom'): number =>
        fillTime({ gate, sprueHeight: h, cavityHeight: h * part, volumeMm3: 1e5, chokeAreaMm2: 50 }).timeS.value;
      expect(time('bottom')).toBeGreaterThanOrEqual(time('top') * (1 - 1e-12));
      expect(time('bottom')).toBeLessThanOrEqual(2 * time('top') * (1 + 1e-12));
    });
  });

  it('more superheat, more energy', () => {
    law(alloyId, between(0.1, 100), between(0, 100), between(1, 100), (alloy, massKg, above, extra) => {
      const { liquidusC } = alloys.find((a) => a.id === alloy)!;
      const heat = (pouringC: number): number => meltHeat({ alloy, massKg, pouringC }).heatKj.value;
      expect(heat(liquidusC.value + above + extra)).toBeGreaterThan(heat(liquidusC.value + above));
      close(
        heat(liquidusC.value + above) / massKg,
        meltHeat({ alloy, massKg: 1, pouringC: liquidusC.value + above }).heatKj.value,
      );
    });
  });

  it('more metal takes longer, a faster pour a bigger choke', () => {
    law(alloyId, between(0.2, 400), between(1.01, 2), (alloy, massKg, factor) => {
      const time = (m: number): number => pouringTime({ alloy, massKg: m }).timeS.value;
      // The two published rules for grey iron jump at 450 kg; a finding says so.
      if (massKg > 450 || massKg * factor <= 450) expect(time(massKg * factor)).toBeGreaterThan(time(massKg));
      const choke = (timeS: number): number =>
        sizeGating({ alloy, massKg, timeS, sprueHeight: 130, cavityHeight: 40 }).chokeAreaMm2.value;
      close(choke(5) / choke(5 * factor), factor);
    });
  });

  it('hotter sand-breaking, sooner shake-out; thicker, later', () => {
    law(alloyId, between(2, 30), between(0.3, 0.9), (alloy, modulus, part) => {
      const solidus = alloys.find((a) => a.id === alloy)!.solidusC.value;
      const at = (m: number, share: number): number =>
        shakeOutTime({ alloy, modulus: m, shakeOutC: 25 + (solidus - 25) * share }).timeS.value;
      expect(at(modulus, part * 0.9)).toBeGreaterThan(at(modulus, part));
      expect(at(modulus * 1.1, part)).toBeGreaterThan(at(modulus, part));
    });
  });

  it('a bigger number is a bigger pot; a coarser grade a wider band', () => {
    law(between(1, 299), between(0.1, 50), (number, step) => {
      expect(brimVolumeOf(number + step)).toBeGreaterThan(brimVolumeOf(number));
    });
    law(between(16.1, 1000), fc.integer({ min: 4, max: 15 }), (nominal, grade) => {
      const band = (g: number): number => castingTolerance({ nominal, grade: g }).band;
      expect(band(grade + 1)).toBeGreaterThan(band(grade));
    });
  });

  it('a raw outside is larger, a raw hole smaller', () => {
    law(between(20, 900), fc.constantFrom('E', 'F', 'G', 'H', 'J', 'K') as fc.Arbitrary<'H'>, (finishedSize, grade) => {
      expect(machiningAllowance({ finishedSize, grade }).rawSize).toBeGreaterThan(finishedSize);
      expect(machiningAllowance({ finishedSize, grade, kind: 'hole' }).rawSize).toBeLessThan(finishedSize);
    });
  });

  it('a heavier cope wants less weight, and no more than factor × lift in all', () => {
    law(between(1, 5000), between(0, 100), (liftN, copeMassKg) => {
      const bare = weightCope({ liftN }).weightMassKg;
      const sand = weightCope({ liftN, copeMassKg }).weightMassKg;
      expect(sand).toBeLessThanOrEqual(bare);
      if (sand > 0) close(sand + copeMassKg, bare);
      else expect(copeMassKg).toBeGreaterThanOrEqual(bare * (1 - 1e-12));
    });
  });
});

describe('scaling', () => {
  const factor = between(0.2, 5);
  it('modulus goes with length, freezing time with its square', () => {
    law(between(5, 300), between(5, 300), between(5, 300), factor, (length, width, height, k) => {
      const at = (s: number) => modulusOf({ shape: 'block', length: length * s, width: width * s, height: height * s });
      close(at(k).modulus, k * at(1).modulus);
      const time = (modulus: number): number => solidificationTime({ alloy: 'c90500', modulus }).timeS.value;
      close(time(at(k).modulus), k * k * time(at(1).modulus));
    });
  });

  it('lift goes with area × head', () => {
    law(between(100, 1e5), between(20, 400), factor, (shadowAreaMm2, metalHeight, k) => {
      const lift = (area: number, head: number): number =>
        copeLift({ alloy: 'gi', shadowAreaMm2: area, metalHeight: head }).liftN.value;
      close(lift(shadowAreaMm2 * k, metalHeight), k * lift(shadowAreaMm2, metalHeight));
      close(lift(shadowAreaMm2, metalHeight * k), k * lift(shadowAreaMm2, metalHeight));
    });
  });

  it('a feeder goes with the casting in every length', () => {
    law(between(1e4, 1e6), between(3, 20), factor, (castingVolumeMm3, castingModulus, k) => {
      const plan = (s: number) =>
        sizeFeeder({
          alloy: 'c86500',
          castingVolumeMm3: castingVolumeMm3 * s ** 3,
          castingModulus: castingModulus * s,
        });
      close(plan(k).diameter, k * plan(1).diameter);
      close(plan(k).volumeMm3, k ** 3 * plan(1).volumeMm3);
      const caine = (s: number): number =>
        feederByCaine({
          metal: 'aluminium',
          castingVolumeMm3: castingVolumeMm3 * s ** 3,
          castingModulus: castingModulus * s,
        }).diameter;
      close(caine(k), k * caine(1), 1e-8);
    });
  });

  it('metal goes with volume', () => {
    law(alloyId, between(1e3, 1e6), factor, (alloy, castingVolumeMm3, k) => {
      const melt = (v: number): number => planMetal({ alloy, castingVolumeMm3: v }).meltMassKg.value;
      close(melt(castingVolumeMm3 * k), k * melt(castingVolumeMm3));
    });
  });
});

describe('round trips', () => {
  it('units', () => {
    law(between(-500, 5000), (value) => {
      close(asFahrenheit(fahrenheit(value)), value, 1e-9);
      close(asInches(inches(value)), value);
      close(asPounds(pounds(value)), value);
      close(minutesPerMm2(value), 100 * minutesPerCm2(value));
    });
  });

  it('pattern to casting and back', () => {
    const basis = fc.constantFrom('casting', 'pattern') as fc.Arbitrary<'casting' | 'pattern'>;
    law(alloyId, basis, between(1, 2000), between(0, 1), between(0, 0.5), (alloy, by, size, freeShare, rapping) => {
      const options = { alloy, basis: by, freeShare, rapping };
      const pattern = patternFromCasting({ ...options, sizes: [size] }).patternSizes[0]!.value;
      if (pattern <= 0) return;
      close(castingFromPattern({ ...options, sizes: [pattern] }).castingSizes[0]!.value, size);
    });
  });
});

describe('independent routes', () => {
  it('lift by volume and by projected area agree on a prism, and the bound holds everywhere', () => {
    law(between(100, 1e5), between(50, 400), between(0, 1), (area, head, part) => {
      const roof = head * part;
      const byCavity = copeLift({
        alloy: 'cu',
        shadowAreaMm2: area,
        metalHeight: head,
        copeCavityVolumeMm3: area * roof,
      });
      const byVolume = copeLift({
        alloy: 'cu',
        shadowAreaMm2: area,
        metalHeight: head,
        roofVolumeMm3: area * (head - roof),
      });
      // A prism with a flat roof is the same as a drag cavity under the lower head.
      const flat = head - roof;
      close(byCavity.liftN.value, byVolume.liftN.value, 1e-6);
      if (flat > 0.01)
        close(
          byCavity.liftN.value,
          copeLift({ alloy: 'cu', shadowAreaMm2: area, metalHeight: flat }).liftN.value,
          1e-6,
        );
      expect(byCavity.liftN.value).toBeLessThanOrEqual(byCavity.upperBoundN * (1 + 1e-12));
      const channel = copeLift({
        alloy: 'cu',
        shadowAreaMm2: 0,
        metalHeight: head,
        channels: [{ areaMm2: area, roofHeight: roof }],
      });
      close(channel.liftN.value, byCavity.liftN.value, 1e-6);
    });
  });

  it('the larger of modulus and volume wins, and each rule is met by the winner', () => {
    law(
      between(1e4, 1e7),
      between(2, 30),
      between(0.01, 0.1),
      (castingVolumeMm3, castingModulus, shrinkageFraction) => {
        const plan = sizeFeeder({ castingVolumeMm3, castingModulus, shrinkageFraction });
        expect(plan.volumeMm3).toBe(Math.max(plan.byModulus.volumeMm3, plan.byVolume.volumeMm3));
        expect(plan.modulus).toBeGreaterThanOrEqual(1.2 * castingModulus * (1 - 1e-12));
        // What it can give covers its own loss and the casting's.
        const given = 0.14 * plan.volumeMm3;
        expect(given).toBeGreaterThanOrEqual(shrinkageFraction * (castingVolumeMm3 + plan.volumeMm3) * (1 - 1e-9));
        const free = modulusOf({ shape: 'cylinder', diameter: plan.diameter, height: plan.height });
        close(free.modulus, plan.modulus);
        close(free.volumeMm3!, plan.volumeMm3);
      },
    );
  });

  it('filling by the exact law and by the effective head agree within 6 % while the cavity stays under ¾ of the head', () => {
    const gate = fc.constantFrom('top', 'bottom', 'parting') as fc.Arbitrary<'top'>;
    law(gate, between(50, 400), between(0, 0.75), between(0, 1), (where, h, part, cope) => {
      const cavityHeight = h * part;
      const fill = fillTime({
        gate: where,
        sprueHeight: h,
        cavityHeight,
        copeCavityHeight: cavityHeight * cope,
        volumeMm3: 2e5,
        chokeAreaMm2: 60,
      });
      expect(Math.abs(fill.timeS.value / fill.timeByHeadRuleS - 1)).toBeLessThan(0.06);
    });
  });

  it('sand of a half and of its cavity fill the half', () => {
    law(between(100, 600), between(100, 600), between(40, 200), between(0, 0.5), (length, width, depth, part) => {
      const gross = length * width * depth;
      const sand = sandForFlask({ length, width, copeDepth: depth, dragDepth: depth, copeCavityMm3: part * gross });
      close(sand.cope.sandVolumeMm3 + part * gross, gross);
      close(sand.drag.sandVolumeMm3, gross);
      close(
        sand.mix.reduce((sum, p) => sum + p.massKg, 0),
        sand.massKg.value,
      );
    });
  });

  it('density by mixing lies between its elements', () => {
    law(shares, (composition) => {
      const own = defineAlloy({ composition });
      expect(own.densityKgM3.value).toBeGreaterThan(2329 - 1);
      expect(own.densityKgM3.value).toBeLessThan(11340 + 1);
    });
  });
});
