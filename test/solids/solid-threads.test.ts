/** Solids made in threads: the same as without, errors too; stopped at once; gone when they are disposed of. */
import { afterAll, describe, expect, it } from 'vitest';
import type { Joint, Solids, SurfaceJoint } from '@oddside/solids';
import type { Vec3 } from '@oddside/core';
// Threads run the built package: a worker's file must be plain JavaScript.
import { openSolids } from '../../packages/solids/dist/index.js';
import * as s from '../helpers/shapes.js';

const counts = [0, 1, 2];
const opened: Solids[] = await Promise.all(counts.map((threads) => openSolids({ threads })));
const [alone, one, two] = opened;
afterAll(() => {
  for (const solids of opened) solids.dispose();
});

const Z: Vec3 = [0, 0, 1];
const level = (height: number): Joint => ({ kind: 'level', height });
const ring = s.asPattern(s.torus(60, 20, 32, 16));
const askew: Vec3 = [0.1, 0.05, 1];
const cube = s.asPattern(s.box([-30, -20, -15], [30, 20, 25]));
const hollow = s.asPattern(s.boxesUnion([s.span([0, 60], [0, 60], [0, 60])], [s.span([20, 40], [-1, 61], [20, 40])]));
const flask = { length: 240, width: 160, copeHeight: 80, dragHeight: 60 };
const bed = { length: 70, width: 70, height: 70 };
const gable: SurfaceJoint = {
  kind: 'surface',
  origin: [0, 0, 0],
  u: [1, 0, 0],
  v: [0, 1, 0],
  column: 20,
  nu: 9,
  nv: 9,
  u0: -80,
  v0: -80,
  heights: Float64Array.from({ length: 81 }, (_, k) => 4 - Math.abs((k % 9) - 4)),
};
/** Without the look at thin walls, which takes longest on small solids. */
const quick = { printWall: 0, standSand: 0 };

/** Everything that can be asked for, by name. */
const asks: Record<string, (solids: Solids) => Promise<unknown>> = {
  'a solid': (solids) => solids.makeSolid(ring),
  'a scaled pattern': (solids) => solids.scalePattern(cube, { contraction: 0.02, stock: [{ normal: Z, stock: 2 }] }),
  'the proof of a draw': (solids) => solids.proveDraw(ring, askew, { joint: level(0), steps: 2 }),
  'a filled pattern': (solids) => solids.fillBackDraft(ring, askew),
  'a filled pattern along a joint': (solids) => solids.fillBackDraft(ring, askew, { joint: level(2), ...quick }),
  'a drafted pattern': (solids) => solids.addDraft(cube, Z, { joint: level(0) }),
  halves: (solids) => solids.splitPattern(ring, askew, { joint: level(0) }),
  'halves along a leaning joint': (solids) =>
    solids.splitPattern(ring, askew, { joint: { kind: 'tilted', point: [0, 0, 1], normal: [0.1, 0, 1] }, ...quick }),
  'halves along a free-form joint': (solids) => solids.splitPattern(ring, Z, { joint: gable, ...quick }),
  'halves not filled along a free-form joint': (solids) =>
    solids.splitPattern(ring, Z, { joint: gable, fill: false, dowels: 3, ...quick }),
  'halves cut to a bed, drilled for dowels': (solids) => solids.splitPattern(ring, Z, { joint: level(0), bed }),
  'halves cut to a bed, not drilled': (solids) =>
    solids.splitPattern(ring, Z, { joint: level(1), bed, dowels: 0, ...quick }),
  'halves on a plate, cut to a bed': (solids) =>
    solids.splitPattern(ring, askew, { joint: level(0), bed, plate: { length: 200, width: 200 }, standSand: 0 }),
  'one half, the other being empty': (solids) => solids.splitPattern(cube, Z, { joint: level(-15) }),
  'a follow board': (solids) => solids.followBoard(ring, askew, { joint: level(0) }),
  'a follow board for the other half': (solids) =>
    solids.followBoard(ring, askew, { joint: level(0), beds: 'drag', ...quick }),
  'a follow board with steps': (solids) => solids.followBoard(ring, Z, { joint: gable, bed, ...quick }),
  'halves of a mould': (solids) =>
    solids.mouldHalves(cube, Z, { joint: level(0), flask, vents: { count: 1, diameter: 3 } }),
  'loose pieces': (solids) => solids.loosePieces(s.asPattern(s.scale(s.lippedChannel(), 20)), Z, quick),
  cores: (solids) => solids.makeCores(hollow, Z),
};

describe('in threads', () => {
  it.each(Object.entries(asks))('%s: the same bit for bit as without', async (_, ask) => {
    const [without, ...withThreads] = await Promise.all(opened.map(ask));
    for (const made of withThreads) expect(made).toStrictEqual(without);
  });

  it('everything at once comes out as one after the other', async () => {
    const several = ['a filled pattern', 'halves', 'a follow board', 'halves along a leaning joint', 'cores'];
    const without: unknown[] = [];
    for (const name of several) without.push(await asks[name](alone));
    for (const solids of [one, two]) {
      expect(await Promise.all(several.map((name) => asks[name](solids)))).toStrictEqual(without);
    }
  });

  it('a board takes the half of a split that is under way, and that of one before; the pattern stays the caller’s', async () => {
    const pattern = s.asPattern(s.torus(60, 20, 32, 16));
    const before = structuredClone(pattern);
    const options = { joint: level(0), ...quick };
    const fresh = await alone.followBoard(s.asPattern(s.torus(60, 20, 32, 16)), askew, options);
    const [, board] = await Promise.all([
      two.splitPattern(pattern, askew, options),
      two.followBoard(pattern, askew, options),
    ]);
    expect(board).toStrictEqual(fresh);
    expect(await two.followBoard(pattern, askew, options)).toStrictEqual(fresh);
    expect(pattern).toEqual(before);
    // Written into since, it is another pattern.
    for (let i = 0; i < pattern.positions.length; i++) pattern.positions[i] *= 1.5;
    const larger = await two.followBoard(pattern, askew, options);
    expect(larger).toStrictEqual(await alone.followBoard(structuredClone(pattern), askew, options));
    expect(larger.volumes.nestMm3).toBeGreaterThan(2 * fresh.volumes.nestMm3);
  });
});

const after = (): number => 1;
/** What is wrong in the asking, also what cannot be posted to a thread. */
const wrong: Record<string, (solids: Solids) => Promise<unknown>> = {
  'inside out': (solids) =>
    solids.splitPattern({ ...cube, triangles: cube.triangles.toReversed() }, Z, { joint: level(0) }),
  open: (solids) => solids.fillBackDraft({ ...cube, triangles: cube.triangles.slice(3) }, Z),
  'open, to be split': (solids) =>
    solids.splitPattern({ ...cube, triangles: cube.triangles.slice(3) }, Z, { joint: level(0) }),
  'a corner that is no number': (solids) =>
    solids.splitPattern({ ...cube, positions: cube.positions.map((c, i) => (i === 4 ? NaN : c)) }, Z, {
      joint: level(0),
    }),
  'no pattern': (solids) => solids.splitPattern(null as never, Z, { joint: level(0) }),
  'no typed arrays': (solids) => solids.proveDraw({ ...cube, positions: [...cube.positions] } as never, Z),
  'a direction of no length': (solids) => solids.splitPattern(cube, [0, 0, 0], { joint: level(0) }),
  'no direction at all': (solids) => (solids.fillBackDraft as (...asked: unknown[]) => Promise<unknown>)(cube),
  'nothing but a pattern to be split': (solids) =>
    (solids.splitPattern as (...asked: unknown[]) => Promise<unknown>)(cube),
  'no joint': (solids) => solids.splitPattern(cube, Z, undefined as never),
  'no joint for a board': (solids) => solids.followBoard(cube, Z, {} as never),
  'a joint of another kind': (solids) => solids.splitPattern(cube, Z, { joint: { kind: 'bent' } as never }),
  'a joint too steep': (solids) =>
    solids.splitPattern(cube, Z, { joint: { kind: 'tilted', point: [0, 0, 0], normal: [1, 0, 0] } }),
  'an unknown option': (solids) => solids.splitPattern(cube, Z, { joint: level(0), dowelz: 2 } as never),
  'an unknown option that is a function': (solids) => solids.makeSolid(cube, { after } as never),
  'an option that is a function': (solids) => solids.splitPattern(cube, Z, { joint: level(0), dowels: after as never }),
  'options that are a text': (solids) => solids.proveDraw(cube, Z, 'quickly' as never),
  'a bed far too small': (solids) =>
    solids.splitPattern(ring, Z, { joint: level(0), bed: { length: 10, width: 10, height: 10 }, dowels: 0 }),
  'a flask too small': (solids) =>
    solids.mouldHalves(cube, Z, { joint: level(0), flask: { length: 50, width: 50, copeHeight: 9, dragHeight: 9 } }),
};

describe('what is wrong', () => {
  const told = async (work: Promise<unknown>): Promise<unknown> => {
    const error = (await work.then(
      () => expect.unreachable('nothing was refused'),
      (reason: unknown) => reason,
    )) as { name: string; code: string; message: string; details: unknown };
    return { name: error.name, code: error.code, message: error.message, details: error.details };
  };

  it.each(Object.entries(wrong))('%s is told in the same words', async (_, ask) => {
    const [without, ...withThreads] = await Promise.all(opened.map((solids) => told(ask(solids))));
    expect(without).toMatchObject({ name: 'OddsideError' });
    for (const error of withThreads) expect(error).toStrictEqual(without);
  });

  it.each([-1, 65, 1.5, '2' as never])('%s threads are refused', async (threads) => {
    await expect(openSolids({ threads })).rejects.toMatchObject({ code: 'bad-number' });
  });
});

describe('a task in threads', () => {
  const halves = (solids: Solids, task: object): Promise<unknown> =>
    solids.splitPattern(ring, askew, { joint: level(0), ...quick, ...task });
  const fill = (solids: Solids, task: object): Promise<unknown> =>
    solids.fillBackDraft(ring, askew, { ...quick, ...task });

  it.each([
    ['fill', fill],
    ['split', halves],
  ])('%s: tells how far it is, never less, and ends in one 1', async (_, ask) => {
    for (const solids of [one, two]) {
      const seen: number[] = [];
      await ask(solids, { onProgress: (fraction: number) => seen.push(fraction) });
      expect(seen.filter((fraction) => fraction === 1)).toEqual([1]);
      expect(seen.at(-1)).toBe(1);
      expect([...seen].sort((a, b) => a - b)).toEqual(seen);
      expect(seen.length).toBeGreaterThan(2);
    }
  });

  it.each([
    ['fill', fill],
    ['split', halves],
  ])(
    '%s: stops with the reason of an abort, before, at once after, and while it runs; the next goes on',
    async (_, ask) => {
      const reason = new Error('the kettle boiled over');
      for (const solids of [one, two]) {
        await expect(ask(solids, { signal: AbortSignal.abort(reason) })).rejects.toBe(reason);
        const [soon, later] = [new AbortController(), new AbortController()];
        const first = ask(solids, { signal: soon.signal });
        // In the same turn: no thread has heard of it yet, and none is waited for.
        soon.abort(reason);
        await expect(first).rejects.toBe(reason);
        await expect(ask(solids, { signal: later.signal, onProgress: () => later.abort(reason) })).rejects.toBe(reason);
        expect(await ask(solids, {})).toStrictEqual(await ask(alone, {}));
      }
    },
  );

  it('ends with what the caller’s own function throws', async () => {
    const onProgress = (): void => {
      throw new Error('on purpose');
    };
    for (const solids of [one, two]) {
      await expect(fill(solids, { onProgress })).rejects.toThrow('on purpose');
      await expect(halves(solids, { onProgress })).rejects.toThrow('on purpose');
    }
  });

  it('goes on when the solids are disposed of; later ones are refused', async () => {
    const solids = await openSolids({ threads: 2 });
    const running = [fill(solids, {}), halves(solids, {})];
    solids.dispose();
    solids.dispose();
    await expect(fill(solids, {})).rejects.toMatchObject({
      code: 'infeasible',
      message: expect.stringMatching(/disposed/) as string,
    });
    expect(await Promise.all(running)).toStrictEqual([await fill(alone, {}), await halves(alone, {})]);
    await expect(halves(solids, {})).rejects.toMatchObject({
      code: 'infeasible',
      message: expect.stringMatching(/disposed/) as string,
    });
  });
});
