/** What every verb promises: ordered ranges, workings with references, findings, bad input refused, input untouched. */
import { isOddsideError } from '@oddside/core';
import * as foundry from '@oddside/foundry';
import { describe, expect, it } from 'vitest';

const shelf = [
  { name: 'copper', composition: { Cu: 1 }, pricePerKg: 9, kind: 'pure metal' },
  { name: 'tin', composition: { Sn: 1 }, pricePerKg: 30, kind: 'pure metal' },
] as const;

/** Every verb with an options object: a good call. */
const calls: Readonly<Record<string, object>> = {
  castingFromPattern: { alloy: 'c90500', sizes: [150, 80, 40] },
  castingTolerance: { nominal: 120 },
  constantFromTrial: { modulus: 8, timeS: 200 },
  contractionFromTestBar: { pattern: 300, casting: 295 },
  copeLift: { alloy: 'c90500', metalHeight: 120, shadowAreaMm2: 9000, cores: [{ kind: 'surrounded', volumeMm3: 2e4 }] },
  criticalVelocity: { alloy: 'a356' },
  defineAlloy: { composition: { Cu: 0.92, Sn: 0.08 } },
  draftAllowance: { height: 40 },
  effectiveHead: { sprueHeight: 120, cavityHeight: 60, copeCavityHeight: 30 },
  expectedGrades: { alloy: 'a356' },
  feederByCaine: { metal: 'aluminium', castingVolumeMm3: 1e5, castingModulus: 7 },
  feederByShapeFactor: { length: 200, width: 100, thickness: 25 },
  feedingDistance: { alloy: 'c86500', thickness: 12 },
  fillTime: { sprueHeight: 120, cavityHeight: 60, copeCavityHeight: 30, volumeMm3: 3e5, chokeAreaMm2: 80 },
  finishAllowance: { finish: 'ground', areaMm2: 2e4, cutAreaMm2: 300, densityKgM3: 8800 },
  learnFromHeats: { heats: [{ estimatedCastingKg: 3, weighedCastingKg: 2.9, meltedKg: 5 }] },
  machiningAllowance: { finishedSize: 80 },
  meltHeat: { alloy: 'c90500', massKg: 6, powerKw: 40 },
  metalPressure: { alloy: 'gi', depth: 200, areaMm2: 1e4 },
  modulusOf: { shape: 'block', length: 80, width: 60, height: 20 },
  mouldConstant: { alloy: 'c90500' },
  patternFromCasting: { alloy: 'c90500', sizes: [150, 80, 40] },
  planCharge: { alloy: 'bz95_5', meltMassKg: 6, shelf },
  planMetal: { alloy: 'c90500', castingVolumeMm3: 3e5, volumeErrorMm3: 2e3 },
  planPour: {
    alloy: 'c90500',
    castingVolumeMm3: 3e5,
    castingAreaMm2: 6e4,
    castingHeight: 60,
    copeCavityHeight: 30,
    copeDepth: 90,
  },
  pouringTime: { alloy: 'c90500', massKg: 5 },
  sandForFlask: { length: 300, width: 250, copeDepth: 90, dragDepth: 90, castingMassKg: 3 },
  sandMargins: { castingMassKg: 3 },
  shakeOutTime: { alloy: 'c90500', modulus: 8 },
  sizeCrucible: { meltMassKg: 6, liquidDensityKgM3: 7900 },
  sizeFeeder: { alloy: 'c86500', castingVolumeMm3: 3e5, castingAreaMm2: 6e4 },
  sizeGating: { alloy: 'c90500', massKg: 5, sprueHeight: 120, cavityHeight: 60, copeCavityHeight: 30 },
  solidificationTime: { alloy: 'c90500', modulus: 8 },
  sprueExitArea: { flowMm3S: 1e5, drop: 80 },
  weightCope: { liftN: 700, copeMassKg: 12 },
};
const verbs = foundry as unknown as Record<string, (options?: unknown) => foundry.FoundryResult>;

/** Every path in a result, with its value. */
function* walk(value: unknown, path = ''): Generator<[string, unknown]> {
  yield [path, value];
  if (typeof value === 'object' && value !== null) {
    for (const [key, inner] of Object.entries(value)) yield* walk(inner, `${path}.${key}`);
  }
}
function freeze<T>(value: T): T {
  if (typeof value === 'object' && value !== null) Object.values(Object.freeze(value)).forEach(freeze);
  return value;
}

/** Converters, constants by argument, and `findAlloy`/`cautionsFor`, which take a name: tested in their own files. */
const NOT_VERBS = new Set([
  'brimVolumeOf',
  'cautionsFor',
  'cylinderModulus',
  'cylinderVolume',
  'diameterOf',
  'draftFromTaper',
  'findAlloy',
  'gatingRatio',
  'headFromSpeed',
  'minutesPerCm2',
  'minutesPerMm2',
  'speedFromHead',
  'typicalYield',
]);

describe('every verb', () => {
  it('is in the list above', () => {
    const functions = Object.keys(foundry).filter((key) => typeof verbs[key] === 'function');
    expect(functions.filter((key) => !NOT_VERBS.has(key)).sort()).toEqual(Object.keys(calls).sort());
  });

  it.each(Object.entries(calls))('%s gives ordered ranges, workings and findings', (name, options) => {
    const result = verbs[name]!(freeze(options));
    expect(result.workings.length).toBeGreaterThan(0);
    for (const work of result.workings) {
      expect(work.formula).toMatch(/\S/);
      expect(work.expression).toMatch(/\S/);
      expect(work.inputs.length).toBeGreaterThan(0);
      expect(['seen', 'from memory', 'common practice', 'derived']).toContain(work.reference.status);
      for (const { name: input, unit, value } of [...work.inputs, work.result]) {
        expect(input).toMatch(/\S/);
        expect(unit).toMatch(/\S/);
        expect(Number.isFinite(value), `${work.formula}: ${input}`).toBe(true);
      }
    }
    for (const finding of result.findings) {
      expect(finding.code).toMatch(/^[a-z]+(-[a-z]+)*$/);
      expect(finding.message).toMatch(/\.$/);
    }
    for (const [path, value] of walk(result)) {
      if (typeof value === 'number') expect(Number.isNaN(value), path).toBe(false);
      if (typeof value !== 'object' || value === null || !('low' in value && 'value' in value)) continue;
      const { value: middle, low, high } = value as { value: number; low: number; high: number };
      expect(low, path).toBeLessThanOrEqual(middle);
      expect(middle, path).toBeLessThanOrEqual(high);
    }
    expect(JSON.parse(JSON.stringify(result))).toBeTruthy();
  });

  it.each(Object.entries(calls))('%s refuses an unknown option by name', (name, options) => {
    if (name === 'modulusOf') return;
    expect.assertions(2);
    try {
      verbs[name]!({ ...options, wobble: 1 });
    } catch (error) {
      expect(isOddsideError(error) && error.code).toBe('bad-option');
      expect(String(error)).toContain('wobble');
    }
  });

  const numbers = Object.entries(calls).flatMap(([name, options]) =>
    Object.entries(options)
      .filter(([, value]) => typeof value === 'number')
      .map(([key]) => [name, key] as const),
  );
  it.each(numbers)('%s refuses a %s that is no number', (name, key) => {
    expect.assertions(4);
    for (const bad of [NaN, -1e12, 'three', Infinity]) {
      try {
        verbs[name]!({ ...calls[name], [key]: bad });
      } catch (error) {
        expect(isOddsideError(error) ? error.message : String(error)).toMatch(/must be|expected/);
      }
    }
  });

  it.each(Object.keys(calls))('%s given nothing says what it needs', (name) => {
    expect.assertions(1);
    try {
      verbs[name]!({});
    } catch (error) {
      expect(isOddsideError(error)).toBe(true);
    }
  });
});

describe('less common bad input', () => {
  it.each<[string, () => unknown]>([
    ['metal at hand', () => foundry.planMetal({ alloy: 'cu', castingVolumeMm3: 1e5, availableMassKg: NaN })],
    ['a pot number', () => foundry.planMetal({ alloy: 'cu', castingVolumeMm3: 1e5, crucibleNumber: -6 })],
    [
      'a yield range turned round',
      () =>
        foundry.planMetal({ alloy: 'cu', castingVolumeMm3: 1e5, yieldFraction: { value: 0.6, low: 0.7, high: 0.5 } }),
    ],
    [
      'a ratio of two',
      () => foundry.sizeGating({ alloy: 'cu', massKg: 1, sprueHeight: 100, cavityHeight: 10, ratio: [1, 2] as never }),
    ],
    [
      'half an end',
      () =>
        foundry.feederByCaine({ metal: 'steel', castingVolumeMm3: 1e5, castingModulus: 5, coolingEnds: 1.5 as never }),
    ],
    [
      'an unknown sand',
      () => foundry.sandForFlask({ length: 300, width: 200, copeDepth: 90, dragDepth: 90, recipe: 'pudding' }),
    ],
    [
      'an empty recipe',
      () =>
        foundry.sandForFlask({ length: 300, width: 200, copeDepth: 90, dragDepth: 90, recipe: { parts: [] } as never }),
    ],
    [
      'a cavity bigger than its half',
      () => foundry.sandForFlask({ length: 10, width: 10, copeDepth: 10, dragDepth: 10, copeCavityMm3: 1e6 }),
    ],
    [
      'a kind of metal nobody sells',
      () =>
        foundry.planCharge({
          alloy: 'cu',
          meltMassKg: 1,
          shelf: [{ name: 'x', composition: { Cu: 1 }, kind: 'fairy dust' as never }],
        }),
    ],
    ['a furnace nobody builds', () => foundry.meltHeat({ alloy: 'cu', massKg: 1, furnace: 'sun' as never })],
    ['pouring below the liquidus', () => foundry.meltHeat({ alloy: 'cu', massKg: 1, pouringC: 900 })],
    [
      'a core of no kind',
      () =>
        foundry.copeLift({
          alloy: 'cu',
          metalHeight: 100,
          shadowAreaMm2: 1,
          cores: [{ kind: 'apple', volumeMm3: 1 } as never],
        }),
    ],
    [
      'more cavity than shadow × head',
      () => foundry.copeLift({ alloy: 'cu', metalHeight: 100, shadowAreaMm2: 10, copeCavityVolumeMm3: 2000 }),
    ],
    ['a shape of no kind', () => foundry.modulusOf({ shape: 'blob' } as never)],
    ['no shape', () => foundry.modulusOf(undefined as never)],
  ])('%s is refused in words', (_, run) => {
    expect.assertions(2);
    try {
      run();
    } catch (error) {
      expect(isOddsideError(error)).toBe(true);
      expect(String((error as Error).message)).toMatch(/must|knows|needs|\bcame\b/);
    }
  });
});

describe('exported defaults', () => {
  it('are frozen', () => {
    for (const [name, value] of Object.entries(foundry)) {
      if (typeof value === 'object') expect(Object.isFrozen(value), name).toBe(true);
    }
  });
});
