/** Remedies of solids whose held sand, slides and joints are known by hand. */
import { describe, expect, it, vi } from 'vitest';
import { angleBetweenDeg, type Vec3 } from '@oddside/core';
import { assessDraw } from '../../packages/parting/src/assess-draw.js';
import { castColumns } from '../../packages/parting/src/cast-columns.js';
import { checkLoosePiece } from '../../packages/parting/src/check-loose-piece.js';
import { findHeldRegions } from '../../packages/parting/src/find-held-regions.js';
import {
  suggestRemedies,
  type Remedy,
  type RemedyKind,
  type SuggestRemediesOptions,
} from '../../packages/parting/src/suggest-remedies.js';
import { snowdenMesh } from '../helpers/scans.js';
import {
  asPattern,
  blockWithRoundPocket,
  blockyMug,
  boxesUnion,
  hollowCube,
  lippedChannel,
  pinnedStairs,
  pulley,
  span,
  sphere,
  translate,
  uNotch,
  type Mesh,
} from '../helpers/shapes.js';

const UP: Vec3 = [0, 0, 1];

async function remedies(
  mesh: Mesh,
  direction: Vec3 = UP,
  options?: Partial<SuggestRemediesOptions>,
  columns = 96,
): Promise<Remedy[]> {
  const pattern = asPattern(mesh);
  return suggestRemedies(pattern, assessDraw(pattern, direction, { columns }), options);
}
const of = (list: readonly Remedy[], kind: RemedyKind): Remedy[] => list.filter((remedy) => remedy.kind === kind);

describe('findHeldRegions', () => {
  const regionsOf = (mesh: Mesh, columns = 128): ReturnType<typeof findHeldRegions> => {
    const pattern = asPattern(mesh);
    return findHeldRegions(pattern, castColumns(pattern, UP, columns));
  };

  it('tells places apart and measures each', () => {
    const { regions } = regionsOf(translate(lippedChannel(2), [0, 0, 10]), 256);
    expect(regions).toHaveLength(2);
    for (const { volumeMm3, low, high, where } of regions) {
      // Under each lip 0.75 × 2 × 2.
      expect(Math.abs(volumeMm3 - 3)).toBeLessThan(0.1);
      expect(low).toBeCloseTo(11, 9);
      expect(high).toBeCloseTo(13, 9);
      expect(where[2]).toBeCloseTo(12, 9);
    }
    expect(regions.map(({ where }) => where[0] > 2).toSorted()).toEqual([false, true]);
  });

  it('finds the cavity of a hollow cube and nothing in a sphere', () => {
    expect(regionsOf(hollowCube()).regions).toHaveLength(1);
    expect(regionsOf(sphere(5, 3)).regions).toEqual([]);
  });

  it('adds up to the back draft', () => {
    const { regions } = regionsOf(blockyMug());
    const sum = regions.reduce((total, region) => total + region.volumeMm3, 0);
    expect(sum).toBeCloseTo(assessDraw(asPattern(blockyMug()), UP, { columns: 128 }).backDraftMm3, 6);
  });
});

describe('checkLoosePiece', () => {
  const slideOf = (mesh: Mesh): ReturnType<typeof checkLoosePiece> => {
    const pattern = asPattern(mesh);
    return checkLoosePiece(findHeldRegions(pattern, castColumns(pattern, UP, 128)), 0);
  };
  /** A notch one deep whose body behind it is as wide as asked. */
  const notched = (body: number): Mesh =>
    boxesUnion([span([0, body + 1], [0, 3], [0, 3])], [span([body, body + 1], [0, 3], [1, 2])]);

  it('slides an arm into the room of the body, as far as the notch is deep', () => {
    const slide = slideOf(notched(1.5))!;
    // The arm leaves its own place through the body; nothing lies beyond its free ends.
    expect(slide.direction[0]).toBeLessThan(-0.9);
    expect(Math.abs(slide.distance - 1)).toBeLessThan(0.1);
    expect(Math.abs(slide.pieceMm3 - 3)).toBeLessThan(0.2);
  });

  it('has no room in a body narrower than the notch is deep', () => {
    expect(slideOf(notched(0.8))).toBeNull();
  });

  it('does not slide through a floor that stands higher', () => {
    // The body behind the arm stands on a step, and its head ends lower than the arm over the notch.
    const stepped = boxesUnion([
      span([0, 1.5], [0, 3], [0.5, 2.5]),
      span([1.5, 2.5], [0, 3], [0, 1]),
      span([1.5, 2.5], [0, 3], [2, 3]),
    ]);
    expect(slideOf(stepped)).toBeNull();
  });

  it('never frees a cavity', () => {
    const ring = slideOf(pulley(5, 3, 2, 1, 48));
    expect(ring).toBeNull();
  });
});

describe('suggestRemedies', () => {
  it('suggests nothing where nothing is held', async () => {
    expect(await remedies(sphere(10, 3))).toEqual([]);
  });

  it('offers a notch a loose piece, a core, a cheek and filling, with what each leaves', async () => {
    const list = await remedies(uNotch(4));
    expect(list.map((remedy) => remedy.kind)).toEqual(['loose-piece', 'core', 'cheek', 'fill']);
    const [loose, core, cheek, fill] = list;
    expect(Math.abs(core.costs.sandMm3 - 4)).toBeLessThan(0.15);
    expect(Math.abs(fill.costs.metalMm3 - 4)).toBeLessThan(0.15);
    expect(fill.where![0]).toBeCloseTo(1.5, 1);
    expect(fill.where![2]).toBeCloseTo(1.5, 6);
    for (const { leftMm3 } of list) expect(leftMm3).toBeLessThan(1e-6);
    expect(core.sentence).toMatch(/prints to hold it in its opening of 8\.?\d* mm²/);
    expect(loose.slide!.distance).toBeGreaterThan(0.9);
    expect(cheek.stack!.count).toBe(3);
    expect(cheek.costs.parts).toBe(1);
  });

  it('turns the draw into a tapered pocket’s axis', async () => {
    const mesh = blockWithRoundPocket(4, 2, 0.8, 0.6, 1, 48);
    const t = Math.tan((14 * Math.PI) / 180);
    const [turn] = of(await remedies(mesh, [t, 0, 1]), 'turn-draw');
    const { direction, backDraftMm3, flat } = assessDraw(asPattern(mesh), turn.draw!, { columns: 96 });
    expect(backDraftMm3).toBeLessThan(1e-3);
    // What is left is what the turned draw still holds, and what a flat joint traps over the block's tilted rim.
    expect(turn.leftMm3).toBeGreaterThanOrEqual(backDraftMm3);
    expect(turn.leftMm3).toBeLessThanOrEqual(backDraftMm3 + flat.misfitMm3 + 1e-9);
    expect(turn.sentence).toMatch(/± .* instead of .* flat joint then traps/);
    expect(direction[0]).toBeLessThan(t);
    for (const near of of(await remedies(mesh, [t, 0, 1], { turnDeg: 1 }), 'turn-draw')) {
      expect(angleBetweenDeg(near.draw!, [t, 0, 1])).toBeLessThanOrEqual(1 + 1e-9);
    }
    expect(of(await remedies(mesh, [t, 0, 1], { turnDeg: 0 }), 'turn-draw')).toEqual([]);
  });

  it('moves a badly set joint, and shapes one where no flat one will do', async () => {
    const list = await remedies(pinnedStairs(), UP, { jointHeight: 1.2 }, 192);
    expect(list.map((remedy) => remedy.kind)).toEqual(['move-joint', 'shape-joint']);
    // Flat at 2 to 3 it misses 5, of which the pocket of 1 is parted by the pattern itself; at 1.2 8.6, of which 0.2.
    expect(Math.abs(list[0].leftMm3 - 4)).toBeLessThan(0.2);
    expect(list[0].sentence).toMatch(/^Move the joint up by .* instead of 8\.[345]\d? mm³/);
    expect(list[1].leftMm3).toBe(0);
    expect(list[1].surface!.feasible).toBe(true);
    const steep = await remedies(pinnedStairs(), UP, { slopeLimitDeg: 20 }, 192);
    expect(steep.map((remedy) => remedy.kind)).toEqual(['shape-joint']);
    expect(steep[0].sentence).toMatch(/^Step the joint: a slope of 2\d/);
    expect(steep[0].surface!.conflict!.climb).toBeCloseTo(1, 6);
  });

  it('lists so many regions and fills the rest together', async () => {
    const notches = Array.from({ length: 5 }, (_, i) => span([1, 2], [2 * i, 2 * i + 1], [1, 2 - i / 10]));
    const comb = boxesUnion([span([0, 2], [0, 9], [0, 3])], notches);
    const all = await remedies(comb);
    expect(of(all, 'core')).toHaveLength(5);
    const some = await remedies(comb, UP, { regions: 2 });
    const fills = of(some, 'fill');
    expect(fills).toHaveLength(3);
    expect(fills[2].region).toBeNull();
    expect(Math.abs(fills[2].costs.metalMm3 - 2.1)).toBeLessThan(0.2);
  });

  it('has no loose piece for a cavity, only what destroys or adds', async () => {
    const list = await remedies(hollowCube());
    const kinds = list.map((remedy) => remedy.kind);
    expect(kinds).not.toContain('turn-draw');
    expect(kinds).not.toContain('loose-piece');
    expect(of(list, 'core')[0].sentence).toMatch(/shut in on all sides, so chaplets/);
  });

  /** A cup, mouth up, 2 deep, its wall 0.5 thick, with a step in its lip as deep as asked. */
  const cup = (step: number): Mesh =>
    boxesUnion(
      [span([0, 3], [0, 3], [0, 2.5])],
      [span([0.5, 2.5], [0.5, 2.5], [0.5, 2.5]), ...(step > 0 ? [span([2.5, 3], [1, 2], [2.5 - step, 2.5])] : [])],
    );

  it('asks for no digging for a cup whose lip is at the joint: the pattern parts its filling', async () => {
    const [keep, ...others] = await remedies(cup(0), UP, { jointHeight: 2.5 });
    expect(others).toEqual([]);
    expect(keep.costs).toEqual({ sandMm3: 0, metalMm3: 0, parts: 0 });
    expect(keep.leftMm3).toBe(0);
    expect(keep.sentence).toMatch(/^Keep the joint flat outside the pattern: the (7\.9\d|8(\.\d+)?) mm³/);
    expect(await remedies(cup(0), UP, { jointHeight: 0.3 })).toEqual([]);
  });

  it('counts what lies over a notch in the lip, not the whole filling', async () => {
    const list = await remedies(cup(0.4), UP, { jointHeight: 2.5 }, 192);
    const [move] = of(list, 'move-joint');
    // 0.4 over the notch (0.5) and over the mouth (4), less nothing below the notch's sill.
    expect(move.sentence).toMatch(/instead of 1\.(7|8)\d? mm³/);
    expect(move.leftMm3).toBe(0);
    expect(move.jointHeight).toBeLessThanOrEqual(2.1 + 1e-9);
  });

  it('leaves what it says: the same solid with the place truly filled is assessed to hold that', async () => {
    const notches = Array.from({ length: 4 }, (_, i) => span([1, 2], [2 * i, 2 * i + 1], [1, 2 - i / 10]));
    const comb = (without: number): Mesh =>
      boxesUnion(
        [span([0, 2], [0, 7], [0, 3])],
        notches.filter((_, i) => i !== without),
      );
    const fills = of(await remedies(comb(-1), UP, undefined, 192), 'fill');
    expect(fills).toHaveLength(4);
    for (const [i, fill] of fills.entries()) {
      const filled = assessDraw(asPattern(comb(i)), UP, { columns: 192 });
      expect(Math.abs(filled.backDraftMm3 - fill.leftMm3)).toBeLessThan(1e-9);
      expect(fill.leftErrorMm3).toBeCloseTo(filled.backDraftErrorMm3, 9);
    }
  });

  it('slides no piece to where sand hangs over it', () => {
    // The arm under the notch can only go to places under the roof next door.
    const roofed = boxesUnion(
      [span([0, 6], [0, 3], [0, 3])],
      [span([1, 2], [0, 3], [1, 2]), span([2.5, 6], [0, 3], [1, 2]), span([0, 1], [0, 3], [0, 3])],
    );
    const pattern = asPattern(roofed);
    const held = findHeldRegions(pattern, castColumns(pattern, UP, 128));
    expect(held.regions).toHaveLength(2);
    expect(checkLoosePiece(held, 1)).toBeNull();
  });

  it('stops between two short pieces of work: an abort after the first news ends it at the next', async () => {
    const clock = vi.spyOn(performance, 'now');
    let now = 0;
    // Every look at the clock is a while later, so every piece of work ends with a turn of the event loop.
    clock.mockImplementation(() => (now += 30));
    try {
      const pattern = asPattern(snowdenMesh('hi'));
      const assessment = assessDraw(pattern, [0, 0.3, 1]);
      const whole: number[] = [];
      await suggestRemedies(pattern, assessment, { onProgress: (fraction) => whole.push(fraction) });
      expect(whole.length).toBeGreaterThan(40);
      // Nowhere more than a tenth of the work without news.
      for (const [i, fraction] of whole.entries()) expect(fraction - (whole[i - 1] ?? 0)).toBeLessThan(0.1);
      for (const at of [1, 5, 20, whole.length - 2]) {
        const stop = new AbortController();
        let news = 0;
        const task = suggestRemedies(pattern, assessment, {
          signal: stop.signal,
          onProgress: () => {
            if (++news === at) setImmediate(() => stop.abort(new Error('enough')));
          },
        });
        await expect(task).rejects.toThrow('enough');
        expect(news).toBeLessThanOrEqual(at + 1);
      }
    } finally {
      clock.mockRestore();
    }
  });

  it('reports progress to exactly one 1, stops on abort, and is the same every time', async () => {
    const seen: number[] = [];
    const first = await remedies(blockyMug(), UP, { onProgress: (x) => seen.push(x) });
    expect(seen.at(-1)).toBe(1);
    expect(seen.filter((x) => x === 1)).toHaveLength(1);
    expect(seen).toEqual(seen.toSorted((a, b) => a - b));
    expect(await remedies(blockyMug())).toEqual(first);
    const stop = new AbortController();
    stop.abort(new Error('enough'));
    await expect(remedies(blockyMug(), UP, { signal: stop.signal })).rejects.toThrow('enough');
  });

  it('refuses nonsense', async () => {
    await expect(remedies(sphere(1, 1), UP, { regions: 0 })).rejects.toThrow(/regions/);
    await expect(remedies(sphere(1, 1), UP, { turnDeg: 90 })).rejects.toThrow(/turnDeg/);
  });
});
