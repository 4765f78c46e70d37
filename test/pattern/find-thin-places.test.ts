/** Thin places of solids whose walls are known by hand, and agreement with the full measure of sections. */
import { describe, expect, it } from 'vitest';
import { findThinPlaces, measureSections } from '@oddside/pattern';
import { asPattern, box, boxesUnion, extrude, span, sphere, torus, type Mesh } from '../helpers/shapes.js';

const look = (mesh: Mesh, thinner: number, side: 'metal' | 'sand' = 'metal'): ReturnType<typeof findThinPlaces> =>
  findThinPlaces(asPattern(mesh), thinner, { side });

describe('findThinPlaces', () => {
  it('measures a plate of 1 mm and passes one of 2 mm', async () => {
    const { thinnest, share } = await look(box([0, 0, 0], [40, 30, 1]), 1.2);
    expect(thinnest!.thickness).toBeCloseTo(1, 6);
    expect(thinnest!.centre[2]).toBeCloseTo(0.5, 6);
    // All of the two faces but a rim half a millimetre wide, and nothing of the four narrow sides.
    expect(share).toBeGreaterThan(0.85);
    expect(share).toBeLessThanOrEqual(2400 / 2540 + 0.01);
    expect(await look(box([0, 0, 0], [40, 30, 2]), 1.2)).toMatchObject({ thinnest: null, share: 0 });
  });

  it('takes no square edge for a thin place, but a knife edge', async () => {
    expect((await look(box([0, 0, 0], [5, 5, 5]), 4)).thinnest).toBeNull();
    const wedge = extrude(
      [
        [0, 0],
        [40, 0],
        [40, 10],
      ],
      30,
    );
    const { thinnest } = await look(wedge, 1.2);
    expect(thinnest!.where[0]).toBeLessThan(5);
  });

  it('finds the fin of sand in a slot, and its place', async () => {
    const slotted = boxesUnion([span([0, 40], [0, 30], [0, 30])], [span([18, 20], [0, 30], [10, 30])]);
    const { thinnest } = await look(slotted, 3, 'sand');
    expect(thinnest!.thickness).toBeCloseTo(2, 6);
    expect(thinnest!.centre[0]).toBeCloseTo(19, 6);
    expect((await look(slotted, 3)).thinnest).toBeNull();
    expect((await look(slotted, 1.9, 'sand')).thinnest).toBeNull();
  });

  it('is not misled by the far edge of a narrow step', async () => {
    const stepped = boxesUnion([span([0, 40], [0, 30], [0, 30])], [span([39, 40], [0, 30], [10, 30])]);
    expect((await look(stepped, 3, 'sand')).thinnest).toBeNull();
  });

  it('agrees with the full measure on what is thinner', async () => {
    const cup = boxesUnion([span([0, 40], [0, 40], [0, 30])], [span([1.5, 37], [2, 38], [4, 30])]);
    const full = await measureSections(asPattern(cup), { samples: 4000, sand: false });
    const thin = await look(cup, 1.9);
    expect(thin.thinnest!.thickness).toBeCloseTo(full.metal.thinnest!.thickness, 6);
    expect((await look(cup, 1.4)).thinnest).toBeNull();
  });

  it('sees a round bar as thick as it is', async () => {
    const ring = torus(20, 2, 64, 32);
    const { thinnest, share } = await look(ring, 5);
    // Facets lie within 4 mm by the bar's own 32 sides and by the ring's 64: 0.02 and twice 0.027.
    expect(Math.abs(thinnest!.thickness - 4)).toBeLessThan(0.1);
    expect(share).toBeGreaterThan(0.99);
    expect((await look(ring, 3.8)).share).toBeLessThan(0.01);
  });

  it('says what it looked at, keeps time, and refuses nonsense', async () => {
    const ball = asPattern(sphere(10, 3));
    const seen: number[] = [];
    const { points, spacing } = await findThinPlaces(ball, 1, { samples: 1000, onProgress: (f) => seen.push(f) });
    expect(points).toBeGreaterThan(900);
    expect(spacing).toBeCloseTo(Math.sqrt((4 * Math.PI * 100) / 1000), 1);
    expect(seen.at(-1)).toBe(1);
    expect(seen).toEqual([...seen].sort((a, b) => a - b));
    await expect(findThinPlaces(ball, 0)).rejects.toMatchObject({ code: 'bad-number' });
    await expect(findThinPlaces(ball, 1, { samples: 5 })).rejects.toMatchObject({ code: 'bad-number' });
    const stop = new AbortController();
    stop.abort(new Error('enough'));
    await expect(findThinPlaces(ball, 1, { signal: stop.signal })).rejects.toThrow('enough');
  });
});
