/** Loose pieces of solids whose trapped sand, slides and volumes are known by hand. */
import { assert as check, asyncProperty, integer } from 'fast-check';
import { describe, expect, it } from 'vitest';
import { assessDraw } from '@oddside/parting';
import { openSolids, type Joint, type LoosePieces } from '@oddside/solids';
import type { Vec3 } from '@oddside/core';
import * as s from '../helpers/shapes.js';
import { expectNear, soundVolume } from './solid-checks.js';

const solids = await openSolids();
const Z: Vec3 = [0, 0, 1];
const level = (height: number): Joint => ({ kind: 'level', height });
/** Share of its circle that the 32-sided hole of a pin fills. */
const roundArea = (r: number): number => 16 * Math.sin(Math.PI / 16) * r * r;

/** A block 60 × 40 × 40 with lugs on its +x wall, each from y 10 to 30, as its reach and its two heights. */
const lugged = (...lugs: readonly (readonly [reach: number, low: number, high: number])[]): s.Mesh =>
  s.boxesUnion([
    s.span([0, 60], [0, 40], [0, 40]),
    ...lugs.map(([reach, low, high]) => s.span([60, 60 + reach], [10, 30], [low, high])),
  ]);

/** Sound parts whose volumes, with their seats, make the pattern. */
function expectAddsUp(loose: LoosePieces): void {
  const { patternMm3, mainMm3, piecesMm3, seatsMm3, errorMm3 } = loose.volumes;
  expectNear(soundVolume(loose.main), mainMm3);
  const sum = loose.pieces.reduce((total, piece) => total + soundVolume(piece.pattern), 0);
  expect(Math.abs(sum - piecesMm3)).toBeLessThanOrEqual(errorMm3);
  expect(Math.abs(mainMm3 + piecesMm3 + seatsMm3 - patternMm3)).toBeLessThanOrEqual(errorMm3);
}

describe('a lug on a wall, under the joint', () => {
  it('comes off as one piece that slides in by its own reach', async () => {
    const loose = await solids.loosePieces(s.asPattern(lugged([10, 10, 18])), Z, { joint: level(40) });
    expectAddsUp(loose);
    expect(loose.draws).toBe(true);
    expect(loose.findings).toEqual([]);
    const [piece] = loose.pieces;
    expect(loose.pieces).toHaveLength(1);
    expect(piece.half).toBe('drag');
    expect(piece.slide.direction).toEqual([-1, 0, 0]);
    expect(piece.slide.distance).toBeCloseTo(10.15, 6);
    // Over the lug up to the joint: 10 × 20 × 22.
    expectNear(piece.freesMm3, 4400);
    // Two pins of 2 mm, a quarter of the lug's height, go through its 10 mm and 4 mm into the block.
    expect(piece.seat).toBe('pin');
    expect(piece.pins.map(({ diameter }) => diameter)).toEqual([2, 2]);
    expectNear(piece.volumeMm3, 1600 - 2 * 10 * roundArea(1.15), 1e-4);
    expectNear(loose.volumes.seatsMm3, 2 * 14.15 * roundArea(1.15), 1e-4);
    for (const { where, direction, length } of piece.pins) {
      expect(direction).toEqual([-1, 0, 0]);
      expect(where[0] - length).toBeCloseTo(56, 6);
    }
    expect(piece.pinSolids.map((pin) => soundVolume(pin) > 0)).toEqual([true, true]);
  });

  it('stays in the cope where the joint is under it', async () => {
    const loose = await solids.loosePieces(s.asPattern(lugged([10, 10, 18])), Z, { joint: level(0), seat: 'none' });
    expect(loose).toMatchObject({ draws: true, pieces: [{ half: 'cope', seat: 'none', pins: [] }] });
    expectNear(loose.pieces[0].freesMm3, 10 * 20 * 10);
    expectNear(loose.pieces[0].volumeMm3, 1600);
    expectNear(loose.volumes.mainMm3, 96_000);
  });

  it('sits by a dovetail that the block slides off as it is drawn', async () => {
    const options = { joint: level(40), seat: 'dovetail', clearance: 0.2 } as const;
    const loose = await solids.loosePieces(s.asPattern(lugged([10, 10, 18])), Z, options);
    expectAddsUp(loose);
    expect(loose).toMatchObject({ draws: true, findings: [], pieces: [{ seat: 'dovetail', pins: [] }] });
    // Tongue: a neck of 0.35 and a depth of 0.3 of the lug's 20, a quarter of the depth wider each side, from the block's
    // foot to 0.7 of the lug's height. It flares from a tenth of its depth inside the lug.
    const tongue = (7 + 2 * 1.5 * (0.1 / 1.1) + 7 + 3) / 2;
    expectNear(loose.pieces[0].volumeMm3, 1600 + tongue * 6 * (10 + 5.6), 1e-3);
    expect(loose.volumes.seatsMm3).toBeGreaterThan(0);
    // Off the block, the piece with its tongue draws straight up, and so does the block.
    expect(assessDraw(loose.main, Z).backDraftMm3).toBeLessThan(1e-6);
  });

  it('is no piece at all where the joint lies along its top', async () => {
    const loose = await solids.loosePieces(s.asPattern(lugged([10, 10, 18])), Z, { joint: level(18) });
    expect(loose).toMatchObject({ draws: true, pieces: [], findings: [] });
    expectNear(loose.volumes.mainMm3, 97_600);
  });

  it('under a free-form joint that climbs over the block', async () => {
    // From 30.5 high at one end of the block to 36.5 at the other, and on over the lug.
    const heights = Float64Array.from({ length: 9 * 5 }, (_, k) => 30 + (k % 9));
    const grid = { origin: [0, 0, 0], u: [1, 0, 0], v: [0, 1, 0], column: 10, nu: 9, nv: 5, u0: -5, v0: 0 } as const;
    const joint: Joint = { kind: 'surface', ...grid, heights };
    const loose = await solids.loosePieces(s.asPattern(lugged([10, 10, 18])), Z, { joint, seat: 'none' });
    expectAddsUp(loose);
    expect(loose).toMatchObject({ draws: true, findings: [], pieces: [{ half: 'drag' }] });
    // Over the lug to the joint, 37 high over its middle.
    expectNear(loose.pieces[0].freesMm3, 10 * 20 * 19, 1e-4);
    expect(loose.pieces[0].slide.direction).toEqual([-1, 0, 0]);
    expectNear(loose.pieces[0].volumeMm3, 1600, 1e-4);
  });

  it('two lugs over each other are two pieces', async () => {
    const pattern = s.asPattern(lugged([10, 4, 10], [14, 20, 30]));
    const loose = await solids.loosePieces(pattern, Z, { joint: level(40), seat: 'none' });
    expectAddsUp(loose);
    expect(loose).toMatchObject({ draws: true, findings: [] });
    const sizes = loose.pieces.map((piece) => Math.round(piece.volumeMm3)).toSorted((a, b) => a - b);
    expect(sizes).toEqual([10 * 20 * 6, 14 * 20 * 10]);
  });

  it('lies anywhere in space', async () => {
    const { axis, deg } = s.randomRotation(5);
    const turn = (p: Vec3): Vec3 => s.turnPoint(p, axis, deg);
    const pattern = s.asPattern(s.rotate(lugged([10, 10, 18]), axis, deg));
    const joint: Joint = { kind: 'tilted', point: turn([0, 0, 40]), normal: turn(Z) };
    const loose = await solids.loosePieces(pattern, turn(Z), { joint });
    expectAddsUp(loose);
    expect(loose).toMatchObject({ draws: true, findings: [], pieces: [{ half: 'drag', seat: 'pin' }] });
    const way = turn([-1, 0, 0]);
    loose.pieces[0].slide.direction.forEach((part, k) => expect(part).toBeCloseTo(way[k], 5));
    expect(loose.pieces[0].slide.distance).toBeCloseTo(10.15, 4);
  });

  it('property, seed 11: a lug of any size is freed by its own reach', { timeout: 120_000 }, async () => {
    await check(
      asyncProperty(
        integer({ min: 2, max: 40 }),
        integer({ min: 0, max: 25 }),
        integer({ min: 2, max: 14 }),
        async (reach, low, tall) => {
          const pattern = s.asPattern(lugged([reach, low, low + tall]));
          const loose = await solids.loosePieces(pattern, Z, { joint: level(40), seat: 'none', leastShare: 0 });
          expect(loose.draws).toBe(true);
          expect(loose.pieces).toHaveLength(1);
          expectNear(loose.pieces[0].volumeMm3, reach * 20 * tall, 1e-5);
          expect(loose.pieces[0].slide.distance).toBeCloseTo(reach + 0.15, 5);
        },
      ),
      { seed: 11, numRuns: 12 },
    );
  });
});

describe('sand that no joint can free', () => {
  it('a dovetail slot gives up both its lips, each into its own wall', async () => {
    const block = s.asPattern(s.scale(s.dovetail(1, 2, 1, 3), 20));
    const loose = await solids.loosePieces(block, Z, { seat: 'none', printWall: 0, standSand: 0 });
    expectAddsUp(loose);
    expect(loose).toMatchObject({ draws: true, findings: [] });
    // Each overhang is a triangle 10 × 20 along 60, the sand under it as much.
    expect(loose.pieces.map(({ half }) => half)).toEqual(['cope', 'cope']);
    for (const piece of loose.pieces) {
      expectNear(piece.volumeMm3, 6000, 1e-5);
      expectNear(piece.freesMm3, 6000, 1e-5);
      expect(piece.slide.distance).toBeCloseTo(10.15, 4);
    }
    expect(loose.pieces.map(({ slide }) => slide.direction[0]).toSorted((a, b) => a - b)).toEqual([-1, 1]);
    expect(assessDraw(loose.main, Z).backDraftMm3).toBeLessThan(1e-6);
    // Each lip runs out to an edge of 27°, and so does the sand under it.
    const looked = await solids.loosePieces(block, Z, { seat: 'none' });
    expect(looked.findings.map(({ code }) => code)).toEqual(['sand-fin', 'thin-wall', 'thin-wall']);
    expect(looked.findings[0].message).toMatch(/^Sand between walls of test pattern runs out to an edge/);
    expect(looked.findings[1].message).toMatch(/loose piece 1 runs out to an edge/);
  });

  it('a notch as deep as the body is wide slides exactly through it', async () => {
    const loose = await solids.loosePieces(s.asPattern(s.scale(s.uNotch(2), 20)), Z);
    expectAddsUp(loose);
    expect(loose).toMatchObject({ draws: true, findings: [], pieces: [{ half: 'drag', seat: 'pin' }] });
    expect(loose.pieces[0].slide.distance).toBeCloseTo(20, 5);
  });

  it('a notch deeper than the body is wide: no room, nothing invented', async () => {
    const pattern = s.asPattern(
      s.boxesUnion([s.span([0, 36], [0, 60], [0, 60])], [s.span([16, 36], [0, 60], [20, 40])]),
    );
    const loose = await solids.loosePieces(pattern, Z);
    expect(loose.pieces).toEqual([]);
    expect(loose.main).toBe(pattern);
    expect(loose.draws).toBe(false);
    expectNear(loose.volumes.leftMm3, 20 * 60 * 20);
    expect(loose.findings.map(({ code }) => code)).toEqual(['no-loose-piece', 'torn-sand']);
    const { where } = loose.findings[0];
    [26, 30, 30].forEach((c, k) => expect(where![k]).toBeCloseTo(c, 4));
  });

  it('a blind hole gives up the metal under it, which slides to the hole’s end', async () => {
    const mesh = s.boxesUnion([s.span([0, 60], [0, 60], [0, 60])], [s.span([40, 60], [20, 40], [20, 40])]);
    const loose = await solids.loosePieces(s.asPattern(mesh), Z);
    expectAddsUp(loose);
    expect(loose).toMatchObject({ draws: true, findings: [], pieces: [{ half: 'drag', seat: 'pin' }] });
    expect(loose.pieces[0].slide.direction).toEqual([-1, 0, 0]);
    expect(loose.pieces[0].slide.distance).toBeCloseTo(20.15, 5);
  });

  it('a cavity has no loose piece', async () => {
    const loose = await solids.loosePieces(s.asPattern(s.scale(s.hollowCube(), 20)), Z);
    expect(loose.pieces).toEqual([]);
    expect(loose.findings.map(({ code }) => code)).toEqual(['no-loose-piece', 'torn-sand']);
  });

  it('leaves what is too small to be worth a piece, and says that it tears', async () => {
    const pattern = s.asPattern(lugged([10, 10, 18]));
    const loose = await solids.loosePieces(pattern, Z, { joint: level(40), leastShare: 0.1 });
    expect(loose.pieces).toEqual([]);
    expect(loose.findings.map(({ code }) => code)).toEqual(['torn-sand']);
  });

  it('a ball needs none', async () => {
    const ball = s.asPattern(s.sphere(20, 3));
    const loose = await solids.loosePieces(ball, Z, { joint: level(0) });
    expect(loose).toMatchObject({ draws: true, pieces: [], findings: [] });
    expect(loose.main).toBe(ball);
  });
});

describe('options', () => {
  it('refuses nonsense, reports progress to one 1, and stops on abort', async () => {
    const pattern = s.asPattern(lugged([10, 10, 18]));
    await expect(solids.loosePieces(pattern, Z, { seat: 'glue' as 'pin' })).rejects.toMatchObject({
      code: 'bad-option',
    });
    await expect(solids.loosePieces(pattern, Z, { places: 0 })).rejects.toMatchObject({ code: 'bad-number' });
    const seen: number[] = [];
    await solids.loosePieces(pattern, Z, { joint: level(40), onProgress: (f) => seen.push(f) });
    expect(seen).toEqual([...seen].sort((a, b) => a - b));
    expect(seen.filter((f) => f === 1)).toHaveLength(1);
    const stop = new AbortController();
    const onProgress = (f: number): void => void (f > 0.2 && stop.abort(new Error('enough')));
    await expect(solids.loosePieces(pattern, Z, { joint: level(40), signal: stop.signal, onProgress })).rejects.toThrow(
      'enough',
    );
  });

  it('takes the other seat, or none, where the one asked for breaks out of the metal, and says so', async () => {
    const pattern = s.asPattern(lugged([10, 10, 18]));
    const thick = await solids.loosePieces(pattern, Z, { joint: level(40), wall: 6 });
    expect(thick.findings.map(({ code, message }) => [code, /dovetail instead/.test(message)])).toEqual([
      ['no-seat', true],
    ]);
    expect(thick).toMatchObject({ draws: true, pieces: [{ seat: 'dovetail' }] });
    const thicker = await solids.loosePieces(pattern, Z, { joint: level(40), wall: 25 });
    expect(thicker.findings.map(({ code }) => code)).toEqual(['no-seat']);
    expect(thicker).toMatchObject({ draws: true, pieces: [{ seat: 'none' }] });
  });
});
