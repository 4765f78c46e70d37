/** Worked examples of contraction, allowances, density, charge, heat and pots; status of each expected value beside it. */
import { asFahrenheit, asPounds, fahrenheit, inches, pounds } from '@oddside/core';
import {
  brimVolumeOf,
  castingTolerance,
  defineAlloy,
  draftAllowance,
  draftFromTaper,
  findAlloy,
  machiningAllowance,
  meltHeat,
  meltLosses,
  patternFromCasting,
  planMetal,
  sandForFlask,
  sizeCrucible,
  sizeGating,
} from '@oddside/foundry';
import { describe, expect, it } from 'vitest';

type Row = readonly [name: string, status: string, got: () => number, expected: number, tolerance: number];

/** Absolute tolerance as a relative one, so that one loop checks all. */
const within = (tolerance: number, of: number): number => tolerance / Math.abs(of);
const pattern = (size: number, contraction: number): number =>
  patternFromCasting({ contraction, sizes: [size] }).patternSizes[0]!.value;
const draft = (height: number, draftDeg: number): number => draftAllowance({ height, draftDeg }).perSide;
const density = (composition: Parameters<typeof defineAlloy>[0]['composition']): number =>
  defineAlloy({ composition }).densityKgM3.value / 1000;
const shop = planMetal({ alloy: '95/5', castingVolumeMm3: pounds(8) / 8860e-9, meltMassKg: pounds(13) });
const losses = planMetal({
  alloy: '95/5',
  castingVolumeMm3: 3e5,
  meltMassKg: 5.9,
  lossFractions: { Cu: 0.005, Sn: 0.01 },
});
const heats = (at: number, solid: number, latent: number, liquid: number) => ({
  solidusC: at,
  liquidusC: at,
  solidHeatJKgK: solid,
  latentHeatKjKg: latent,
  liquidHeatJKgK: liquid,
});
const cubicMetre = meltHeat({
  heats: heats(800, 330, 160, 290),
  massKg: 7500,
  startC: 25,
  pouringC: 900,
  efficiency: 1,
});
const bronze = meltHeat({ heats: heats(1000, 380, 190, 430), massKg: 5.897, pouringC: 1150, efficiency: 0.15 });
const aluminium = meltHeat({ heats: heats(660, 903, 390, 1000), massKg: 1, pouringC: 660, efficiency: 1 });
const lead = meltHeat({ heats: heats(327, 130, 25, 140), massKg: 1, pouringC: 327, efficiency: 1 });
const pot = (number: number) =>
  sizeCrucible({ meltMassKg: pounds(13), liquidDensityKgM3: 7900, crucibleNumber: number });
const sand = sandForFlask({
  length: 300,
  width: 250,
  copeDepth: 100,
  dragDepth: 100,
  dragCavityMm3: 410e3,
  rammedDensityKgM3: 1600,
});
const scatter = patternFromCasting({ contraction: 0.01, sizes: [inches(12)] }).patternSizes[0]!;
const amateur = sizeGating({
  alloy: 'sn',
  massKg: 1,
  sprueHeight: 100,
  cavityHeight: 20,
  ratio: [(Math.PI / 4) * 0.75 ** 2, 0.5, 0.75 * 0.25],
  widenGates: false,
});
const litre = 1e6;
const WATER = 0.9982;

const rows: readonly Row[] = [
  ['43 7.5 in at 3/16 in/ft, in', 'method published', () => pattern(7.5, 3 / 192), 7.617, within(0.001, 7.617)],
  ['46 grey iron, 100 mm', 'published', () => pattern(100, findAlloy('gi').contraction.value), 101, 1e-12],
  ['48 1° over 100 mm', 'derived', () => draft(100, 1), 1.746, within(0.001, 1.746)],
  ['48 2° over 50 mm', 'derived', () => draft(50, 2), 1.746, within(0.001, 1.746)],
  ['48 3° over 25 mm', 'derived', () => draft(25, 3), 1.31, within(0.001, 1.31)],
  ['48 0.5° over 200 mm', 'derived', () => draft(200, 0.5), 1.745, within(0.001, 1.745)],
  ['49 1/16 in per ft', 'derived', () => draftFromTaper(1 / 16, 12), 0.298, within(0.001, 0.298)],
  ['49 1/8 in per ft', 'derived', () => draftFromTaper(1 / 8, 12), 0.597, within(0.001, 0.597)],
  ['49 1/4 in per ft', 'derived', () => draftFromTaper(1 / 4, 12), 1.193, within(0.001, 1.193)],
  ['49 1 in per ft', 'derived', () => draftFromTaper(1, 12), 4.764, within(0.001, 4.764)],
  [
    '50 raw size of 200 mm, RMA H, grade 13',
    'tables from memory and seen, sum derived',
    () => machiningAllowance({ finishedSize: 200, grade: 'H', toleranceGrade: 13 }).rawSize,
    213.5,
    1e-12,
  ],
  [
    '51 120 mm grade 10',
    'seen (ISO 8062-3:2007)',
    () => castingTolerance({ nominal: 120, grade: 10 }).band,
    3.6,
    1e-12,
  ],
  ['51 41 mm grade 13', 'seen', () => castingTolerance({ nominal: 41, grade: 13 }).band, 8, 1e-12],
  ['51 300 mm grade 8', 'seen', () => castingTolerance({ nominal: 300, grade: 8 }).band, 2.2, 1e-12],
  ['52 90/10 by mixing', 'derived', () => density({ Cu: 0.9, Sn: 0.1 }), 8.759, within(0.002, 8.759)],
  ['52 88-10-2', 'derived', () => density({ Cu: 0.88, Sn: 0.1, Zn: 0.02 }), 8.715, within(0.002, 8.715)],
  ['52 85-5-5-5', 'derived', () => density({ Cu: 0.85, Sn: 0.05, Pb: 0.05, Zn: 0.05 }), 8.838, within(0.002, 8.838)],
  ['52 A356', 'derived', () => density({ Al: 0.9265, Si: 0.07, Mg: 0.0035 }), 2.666, within(0.002, 2.666)],
  ['53 8 lb', 'common practice', () => shop.castingMassKg.value, 3.6287, 0.001],
  ['53 cm³', 'common practice', () => pounds(8) / 8.86e-3, 409.6, 0.001],
  ['53 yield', 'common practice', () => shop.yieldFraction.value, 0.615, 0.001],
  ['54 copper, lb', 'derived', () => asPounds(shop.charge[0]!.netMassKg), 12.35, 1e-12],
  ['54 tin, lb', 'derived', () => asPounds(shop.charge[1]!.netMassKg), 0.65, 1e-12],
  ['55 copper with loss, kg', 'derived', () => losses.charge[0]!.massKg, 5.633, within(0.001, 5.633)],
  ['55 tin with loss, kg', 'derived', () => losses.charge[1]!.massKg, 0.298, within(0.001, 0.298)],
  ['55 charge, kg', 'derived', () => losses.chargeMassKg.value, 5.931, within(0.001, 5.931)],
  [
    '56 heat of a cubic metre, kJ',
    'published, from memory (Groover 3.335)',
    () => cubicMetre.heatKj.value,
    3.336e6,
    0.001,
  ],
  ['57 bronze, kJ/kg', 'derived', () => bronze.heatKjKg, 626.9, 0.005],
  ['57 bronze, kJ', 'derived', () => bronze.heatKj.value, 3697, 0.005],
  ['57 at 15 %, kJ', 'derived', () => bronze.fuelHeatKj.value, 24.6e3, 0.005],
  ['57 propane, kg', 'derived', () => bronze.fuels.find((f) => f.fuel === 'propane')!.amount.value, 0.53, 0.005],
  ['58 aluminium, kJ', 'published (968)', () => aluminium.heatKj.value, 967.9, 0.001],
  ['59 lead, kJ', 'published (65)', () => lead.heatKj.value, 64.9, 0.005],
  ['61 pot for 13 lb at 80 %, L', 'derived', () => pot(6).brimVolumeNeededMm3 / litre, 0.933, 0.005],
  ['62 flask, gross, kg', 'derived', () => sand.massKg.value + 410e-6 * 1600, 24, 0.002],
  ['62 flask, net, kg', 'derived', () => sand.massKg.value, 23.34, 0.002],
  ['63 copper melts, °F', 'derived', () => asFahrenheit(1084.62), 1984.32, within(0.01, 1984.32)],
  ['63 tin melts, °F', 'derived', () => asFahrenheit(231.93), 449.47, within(0.01, 449.47)],
  [
    'W7 grey iron as light as one end of a gate (7.0568)',
    'published (West 1902)',
    () => Math.max(1169.468 / 165.722, findAlloy('gi').densityKgM3.low / 1000),
    7.0568,
    1e-4,
  ],
  [
    'W7 and as the other (7.0414)',
    'published (West 1902)',
    () => Math.max(1167.239 / 165.768, findAlloy('gi').densityKgM3.low / 1000),
    7.0414,
    1e-4,
  ],
  ['W8 2 % of 20 tons, lb', 'published', () => 40000 * findAlloy('gi').freezingShrinkage.high, 800, 1e-12],
  ['W9 No. 6 holds 2.08 lb of water, L', 'published', () => brimVolumeOf(6) / litre, pounds(2.08) / WATER, 0.005],
  ['W9 No. 12 holds 4.16 lb', 'published', () => brimVolumeOf(12) / litre, pounds(4.16) / WATER, 0.005],
  ['W9 No. 30 holds 11.5 lb; the rule is rounded down', 'published', () => brimVolumeOf(30) / litre, 5.226, 0.03],
  [
    'W10 No. 70 holds 200 lb of bronze; the rule is rounded up',
    'published',
    () => brimVolumeOf(70) / litre,
    11.48,
    0.04,
  ],
  ['W11 13 lb in a No. 6', 'derived', () => pot(6).fullness!, 0.79, 0.005],
  ['W11 13 lb in a No. 5', 'derived', () => pot(5).fullness!, 0.948, 0.005],
  ['W12 No. 10, L', 'derived', () => brimVolumeOf(10) / litre, 1.575, 0.005],
  ['W12 No. 10 of aluminium, lb', 'derived', () => asPounds((brimVolumeOf(10) * 2370) / 1e9), 8.23, 0.005],
  ['W12 No. 10 of bronze, lb', 'derived', () => asPounds((brimVolumeOf(10) * 7900) / 1e9), 27.4, 0.005],
  [
    'W13 phosphorus kept: 7 lb in 108 lb gave 6 %',
    'derived from published inputs',
    () => 1 - meltLosses.P.value,
    0.06 / (7 / 108),
    0.001,
  ],
  ['W14 300 mm of thin iron', 'published rate', () => pattern(300, 1 / 120), 302.5, within(0.001, 302.5)],
  ['W14 300 mm of heavy iron', 'published rate', () => pattern(300, 1 / 96), 303.125, within(0.001, 303.125)],
  ['W15 100 mm of tin', 'published rate', () => pattern(100, 1 / 144), 100.694, within(0.001, 100.694)],
  [
    'W15 the list agrees',
    'published rate',
    () => pattern(100, findAlloy('sn').contraction.value),
    100.694,
    within(0.005, 100.694),
  ],
  ['W15 100 mm of lead', 'published rate', () => pattern(100, 1 / 96), 101.042, within(0.001, 101.042)],
  [
    'W16 draft of 1/8 in per ft over 100 mm',
    'published rate',
    () => draft(100, draftFromTaper(1 / 8, 12)),
    1.042,
    within(0.001, 1.042),
  ],
  [
    'W16 draft of 1/16 in per ft',
    'published rate',
    () => draft(100, draftFromTaper(1 / 16, 12)),
    0.521,
    within(0.001, 0.521),
  ],
  [
    'W17 scatter of 1/32 in on 12 in is what the range allows for',
    'published',
    () => scatter.high - scatter.value,
    inches(1 / 32),
    0.05,
  ],
  [
    'W18 sprue ¾ in round, gate ¾ × ¼ in: gate over choke',
    'published sizes',
    () => amateur.gateAreaMm2 / amateur.chokeAreaMm2.value,
    0.424,
    0.002,
  ],
  [
    'W19 a tenth more than the bell: 100 lb takes 110',
    'published',
    () =>
      asPounds(
        planMetal({ alloy: '90/10', castingVolumeMm3: pounds(100) / 8770e-9, systemVolumeMm3: 0 }).meltMassKg.value,
      ),
    110,
    1e-9,
  ],
  [
    'W20 statuary bronze',
    'composition published',
    () => density({ Cu: 0.916, Zn: 0.0533, Sn: 0.017, Pb: 0.0137 }),
    8.83,
    within(0.002, 8.83),
  ],
  [
    'W20 sixteen to one',
    'composition published',
    () => density({ Cu: 16 / 17, Sn: 1 / 17 }),
    8.841,
    within(0.002, 8.841),
  ],
  [
    'W20 coin bronze',
    'composition published',
    () => density({ Cu: 0.95, Sn: 0.04, Zn: 0.01 }),
    8.856,
    within(0.002, 8.856),
  ],
  ...(
    [
      [2350, 1288],
      [2200, 1204],
      [2175, 1191],
      [2100, 1149],
      [2000, 1093],
      [1800, 982],
    ] as const
  ).map(([f, c]): Row => [`W21 ${f} °F`, 'exact', () => fahrenheit(f), c, within(1, c)]),
];

describe('worked examples: allowances, density, charge, heat and pots', () => {
  it.each(rows)('%s (%s)', (_, __, got, expected, tolerance) => {
    expect(Math.abs(got() / expected - 1)).toBeLessThanOrEqual(tolerance);
  });
});
