import { planCharge, type ShelfItem } from '@oddside/foundry';
import { describe, expect, it } from 'vitest';

const copper: ShelfItem = { name: 'copper wire', composition: { Cu: 1 }, pricePerKg: 9, kind: 'pure metal' };
const tin: ShelfItem = { name: 'tin bar', composition: { Sn: 1 }, pricePerKg: 30, kind: 'pure metal' };
const zinc: ShelfItem = { name: 'zinc', composition: { Zn: 1 }, pricePerKg: 3, kind: 'pure metal' };
const returns: ShelfItem = {
  name: 'old sprues',
  composition: { Cu: 0.88, Sn: 0.1, Zn: 0.02 },
  massKg: 3,
  kind: 'returns',
};
const pick = (plan: ReturnType<typeof planCharge>, name: string): number =>
  plan.picks.find((p) => p.name === name)?.massKg ?? 0;

describe('planCharge', () => {
  it('makes 95/5 from copper and tin, tin at the cheap end of what the margin allows', () => {
    const plan = planCharge({ alloy: '95/5', meltMassKg: 10, shelf: [copper, tin], lossFractions: { Cu: 0, Sn: 0 } });
    expect(plan.feasible).toBe(true);
    // Tin is dear, so it goes to the low limit, 4.2 %, drawn in by a tenth of the 1.6 points.
    expect(pick(plan, 'tin bar')).toBeCloseTo(0.436, 6);
    expect(pick(plan, 'copper wire')).toBeCloseTo(9.564, 6);
    expect(plan.cost).toBeCloseTo(9 * 9.564 + 30 * 0.436, 5);
  });

  it('turns to the dear end when tin is the cheap metal', () => {
    const plan = planCharge({
      alloy: '95/5',
      meltMassKg: 10,
      shelf: [copper, { ...tin, pricePerKg: 1 }],
      lossFractions: { Cu: 0, Sn: 0 },
      marginFraction: 0,
    });
    expect(pick(plan, 'tin bar')).toBeCloseTo(0.58, 6);
  });

  it('covers the losses', () => {
    const plan = planCharge({ alloy: 'c90500', meltMassKg: 8, shelf: [copper, tin, zinc] });
    expect(plan.meltMassKg).toBeCloseTo(8, 6);
    const row = plan.melt.find((r) => r.element === 'Zn')!;
    expect(row.lostKg / row.chargedKg).toBeCloseTo(0.05, 12);
    expect(plan.melt.every((r) => r.within)).toBe(true);
  });

  it('holds the limits in the melt, not in the charge, however much is lost', () => {
    const shelf = [copper, { ...tin, pricePerKg: 1 }];
    const plan = planCharge({
      alloy: '95/5',
      meltMassKg: 10,
      shelf,
      lossFractions: { Cu: 0.2, Sn: 0 },
      marginFraction: 0,
    });
    expect(plan.melt.find((row) => row.element === 'Sn')!.share).toBeCloseTo(0.058, 9);
    expect(pick(plan, 'copper wire')).toBeCloseTo((10 * 0.942) / 0.8, 6);
  });

  it('uses old metal first when asked to', () => {
    const shelf = [copper, tin, zinc, { ...returns, pricePerKg: 40 }];
    const cheap = planCharge({ alloy: 'c90500', meltMassKg: 8, shelf });
    const old = planCharge({ alloy: 'c90500', meltMassKg: 8, shelf, goal: 'least new metal' });
    expect(pick(cheap, 'old sprues')).toBe(0);
    expect(pick(old, 'old sprues')).toBeCloseTo(3, 6);
    expect(old.newMetalKg).toBeLessThan(cheap.newMetalKg);
  });

  it('keeps to what is on the shelf and says how much is missing', () => {
    const plan = planCharge({
      alloy: 'c90500',
      meltMassKg: 8,
      shelf: [returns],
      lossFractions: { Cu: 0, Sn: 0, Zn: 0 },
    });
    expect(plan.feasible).toBe(false);
    expect(plan.shortMassKg).toBeCloseTo(5, 6);
    expect(plan.misfits).toEqual([]);
    expect(plan.findings.find((f) => f.code === 'shelf-too-small')!.message).toContain('5 kg');
  });

  it('names the element that cannot be met and by how much', () => {
    const lead: ShelfItem = {
      name: 'leaded scrap',
      composition: { Cu: 0.85, Sn: 0.05, Zn: 0.05, Pb: 0.05 },
      kind: 'scrap',
    };
    const plan = planCharge({
      alloy: '95/5',
      meltMassKg: 10,
      shelf: [lead],
      lossFractions: { Cu: 0, Sn: 0, Zn: 0, Pb: 0 },
    });
    expect(plan.feasible).toBe(false);
    const misfit = Object.fromEntries(plan.misfits.map((m) => [m.element, m]));
    expect(misfit['Pb']).toMatchObject({ side: 'too much' });
    expect(misfit['Pb']!.byShare).toBeCloseTo(0.0495, 6);
    expect(misfit['Pb']!.byMassKg).toBeCloseTo(0.495, 6);
    expect(misfit['Zn']!.byShare).toBeCloseTo(0.047, 6);
    expect(misfit['Cu']).toMatchObject({ side: 'too little' });
    expect(plan.findings.filter((f) => f.severity === 'problem').length).toBe(3);
    expect(plan.findings.map((f) => f.message).join(' ')).toContain('lead');
  });

  it('says which metal is too little', () => {
    const plan = planCharge({ alloy: 'bz90_10', meltMassKg: 5, shelf: [copper, { ...tin, massKg: 0.2 }] });
    expect(plan.feasible).toBe(false);
    expect(plan.misfits).toEqual(
      expect.arrayContaining([expect.objectContaining({ element: 'Sn', side: 'too little' })]),
    );
  });

  it('holds elements that the alloy does not list to a trace', () => {
    const dirty: ShelfItem = { name: 'nickel bronze', composition: { Cu: 0.9, Ni: 0.1 }, pricePerKg: 1, kind: 'scrap' };
    const plan = planCharge({ alloy: 'bz90_10', meltMassKg: 5, shelf: [copper, tin, dirty] });
    const nickel = plan.melt.find((r) => r.element === 'Ni')!;
    expect(nickel.share).toBeLessThanOrEqual(0.002 + 1e-7);
    expect(nickel.share).toBeGreaterThan(0.0015);
  });

  it('drops the margin where it cannot be kept, and says so', () => {
    const exact: ShelfItem = { name: 'ingot', composition: { Cu: 0.9, Sn: 0.1 }, kind: 'ingot' };
    const plan = planCharge({ alloy: 'bz90_10', meltMassKg: 5, shelf: [exact], lossFractions: { Cu: 0, Sn: 0 } });
    expect(plan.feasible).toBe(true);
    expect(plan.findings.map((f) => f.code)).toContain('no-margin');
  });

  it('orders the charge: copper, then tin, zinc last; and deoxidises bronze', () => {
    const plan = planCharge({ alloy: 'c90500', meltMassKg: 10, shelf: [zinc, tin, copper] });
    const names = plan.order.flatMap((step) => step.items.map((item) => item.name));
    expect(names).toEqual(['copper wire', 'tin bar', 'zinc']);
    expect(plan.order.at(-1)!.text).toMatch(/Skim/);
    // 0.04 % P of 10 kg as 15 % phosphor copper.
    expect(plan.deoxidiser.massKg).toBeCloseTo((10 * 0.0004) / 0.15, 6);
    expect(planCharge({ alloy: 'c87300', meltMassKg: 5, shelf: [copper] }).deoxidiser.massKg).toBe(0);
  });

  it('carries cautions for the furnace, local codes first', () => {
    const plan = planCharge({ alloy: 'c90500', meltMassKg: 20, shelf: [zinc, tin, copper] });
    expect(plan.cautions[0]!.code).toBe('local-codes-first');
    expect(plan.cautions.map((c) => c.code)).toContain('phosphor-copper');
    expect(plan.banner).toMatch(/Estimates only/);
  });

  it('refuses nonsense', () => {
    const bad = (shelf: readonly ShelfItem[]) => () => planCharge({ alloy: 'cu', meltMassKg: 1, shelf });
    expect(bad([])).toThrow(/at least one/);
    expect(bad([{ name: 'x', composition: { Cu: 0.5 } }])).toThrow(/sum to 1/);
    expect(bad([{ name: 'x', composition: { Kr: 1 } as never }])).toThrow(/no element known/);
    expect(bad([copper, copper])).toThrow(/name them apart/);
    expect(bad([{ ...copper, massKg: -1 }])).toThrow(/massKg/);
    expect(() => planCharge({ alloy: 'cu', meltMassKg: 1, shelf: [copper], goal: 'fun' as never })).toThrow(/goal/);
  });
});
