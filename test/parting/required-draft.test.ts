import { describe, expect, it } from 'vitest';
import { draftPractices, requiredDraft, type DraftPractice } from '@oddside/parting';

describe('requiredDraft', () => {
  // Values as printed in the tables named in each result's reference; the last column in mm per side.
  it.each([
    ['one-off', 40, false, 2],
    ['one-off', 40, true, 3],
    ['wood-pattern', 25, false, 3],
    ['wood-pattern', 25.1, false, 1.5],
    ['wood-pattern', 25.1, true, 2.5],
    ['wood-pattern', 150, false, 0.75],
    ['wood-pattern', 700, true, 1],
    ['metal-or-plastic-pattern', 60, false, 0.75],
    ['metal-or-plastic-pattern', 60, true, 1],
    ['din-1511', 9, false, 3],
    ['din-1511', 60, true, 0.75],
    ['din-1511', 100, false, 0.5],
  ] as const)('%s at %f mm, inside %s: %f°', (practice, height, inside, deg) => {
    expect(requiredDraft(height, { practice, inside }).draftDeg).toBe(deg);
  });

  it.each([
    ['din-1511', 200, 1.5],
    ['din-1511', 450, 3],
    ['en-12890-hand-clay', 25, 1],
    ['en-12890-hand-clay', 100, 3],
    ['en-12890-hand-clay', 400, 4.5],
  ] as const)('%s at %f mm: %f mm a side', (practice, height, taper) => {
    expect(requiredDraft(height, { practice }).taper).toBeCloseTo(taper, 9);
  });

  it('1/8 in per ft is 0.597°, 1.042 mm over 100 mm (worked from the printed rate)', () => {
    const found = requiredDraft(100, { practice: 'finished-bench-pattern' });
    expect(found.draftDeg).toBeCloseTo(0.597, 3);
    expect(found.taper).toBeCloseTo(1.042, 3);
    expect(found.reference.status).toBe('seen');
  });

  it('every practice says where it comes from; what was not re-read says so', () => {
    const status = Object.fromEntries(draftPractices().map(({ id, reference }) => [id, reference.status]));
    expect(status).toMatchObject({
      'one-off': 'common practice',
      'wood-pattern': 'from memory',
      'din-1511': 'from memory',
    });
    for (const { id } of draftPractices()) {
      for (const height of [0, 5, 40, 120, 300, 900]) {
        const { draftDeg } = requiredDraft(height, { practice: id });
        expect(draftDeg).toBeGreaterThan(0);
        expect(draftDeg).toBeLessThan(4.77);
      }
    }
  });

  it('refuses what it has no table for', () => {
    expect(() => requiredDraft(-1)).toThrow(/height \(mm\) must be/);
    expect(() => requiredDraft(NaN)).toThrow(/must be/);
    expect(() => requiredDraft(10, { practice: 'wood' as DraftPractice })).toThrow(/Did you mean "wood-pattern"/);
    expect(() => requiredDraft(10, { practise: 'one-off' } as object)).toThrow(/knows no option/);
  });
});
