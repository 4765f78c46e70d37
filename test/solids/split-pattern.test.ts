import { describe, expect, it } from 'vitest';
import { assessDraw, shapePartingSurface } from '@oddside/parting';
import { jointThroughMetal, openSolids, type Joint, type SplitPattern } from '@oddside/solids';
import type { Vec3 } from '@oddside/core';
import * as s from '../helpers/shapes.js';
import { expectNear, soundVolume } from './solid-checks.js';

const solids = await openSolids();
const Z: Vec3 = [0, 0, 1];
const level = (height: number): Joint => ({ kind: 'level', height });

/** Sound halves whose volumes, with holes, make the filled pattern. */
function expectAddsUp(split: SplitPattern): void {
  const { patternMm3, addedMm3, copeMm3, dragMm3, holesMm3, errorMm3 } = split.volumes;
  const parts = [split.cope, split.drag].map((half) => (half ? soundVolume(half) : 0));
  expectNear(parts[0], copeMm3, 1e-5);
  expectNear(parts[1], dragMm3, 1e-5);
  expect(Math.abs(copeMm3 + dragMm3 + holesMm3 - patternMm3 - addedMm3)).toBeLessThanOrEqual(errorMm3);
}

const codes = ({ findings }: SplitPattern): string[] => findings.map(({ code }) => code);

/** A half draws off a flat board, as the columns see it. */
function expectDraws(half: SplitPattern['cope'], draw: Vec3, errorMm3: number): void {
  expect(assessDraw(half!, draw).backDraftMm3).toBeLessThanOrEqual(errorMm3);
}

describe('splitPattern', () => {
  it('splits a ball at its middle, with two dowels of different thickness well inside', async () => {
    const ball = s.asPattern(s.sphere(40, 4));
    const split = await solids.splitPattern(ball, Z, { joint: level(0) });
    expectAddsUp(split);
    expectNear(split.volumes.copeMm3, split.volumes.dragMm3, 1e-4);
    expect(split.dowels).toHaveLength(2);
    const [a, b] = split.dowels;
    expect(b.diameter).toBeCloseTo(0.8 * a.diameter, 9);
    // The hole with its wall stays in the ball, also at its far end.
    for (const { where, diameter, depth } of split.dowels) {
      const reach = Math.hypot(Math.hypot(where[0], where[1]) + diameter / 2 + 2, depth + 2);
      expect(reach).toBeLessThan(40);
    }
    const hole = (d: number, depth: number): number => Math.PI * (d / 2 + 0.15) ** 2 * 2 * (depth + 0.15);
    expectNear(split.volumes.holesMm3, hole(a.diameter, a.depth) + hole(b.diameter, b.depth), 0.01);
    expect(split.dowelSolids.map((dowel) => soundVolume(dowel) > 0)).toEqual([true, true]);
    expectDraws(split.cope, Z, split.volumes.errorMm3);
    expectDraws(split.drag, Z, split.volumes.errorMm3);
    expect(split.findings).toEqual([]);
  });

  it('says so where the section bears no dowel', async () => {
    const blade = s.asPattern(s.box([0, 0, 0], [60, 3, 40]));
    const split = await solids.splitPattern(blade, Z, { joint: level(20) });
    expect(split.dowels).toEqual([]);
    expect(split.findings.map(({ code }) => code)).toEqual(['few-dowels']);
    expectAddsUp(split);
  });

  it('a hole never breaks into a pocket that the columns would have to be lucky to see', async () => {
    const block = s.translate(s.blockWithRoundPocket(60, 30, 4, 4, 28, 48), [0, 0, -15]);
    const split = await solids.splitPattern(s.asPattern(block), Z, { joint: level(0), fill: false });
    expect(split.dowels.length).toBeGreaterThan(0);
    for (const { where, diameter } of split.dowels) {
      expect(Math.hypot(where[0], where[1])).toBeGreaterThan(4 + diameter / 2 + 0.9 * 2);
    }
    expectAddsUp(split);
  });

  it('fills what a level joint tears before it splits, and both halves then draw', async () => {
    const knot = s.asPattern(s.scale(s.trefoil(0.35, 120, 16), 20));
    const split = await solids.splitPattern(knot, Z, { joint: level(0), dowels: 0 });
    expect(split.volumes.addedMm3).toBeGreaterThan(1000);
    expectAddsUp(split);
    for (const half of [split.cope, split.drag]) expectDraws(half, Z, split.volumes.errorMm3);
  });

  it('splits along a tilted joint and along a shaped one', async () => {
    const stairs = s.asPattern(s.scale(s.pinnedStairs(), 20));
    const normal: Vec3 = [-Math.sin(0.4), 0, Math.cos(0.4)];
    const tilted = await solids.splitPattern(stairs, Z, { joint: { kind: 'tilted', point: [60, 20, 50], normal } });
    expectAddsUp(tilted);
    const assessed = assessDraw(stairs, Z, { columns: 128 });
    const surface = shapePartingSurface(stairs, assessed, { slopeLimitDeg: 60 });
    const joint = jointThroughMetal(stairs, surface);
    expect(joint.heights.every((h) => Number.isFinite(h))).toBe(true);
    const shaped = await solids.splitPattern(stairs, Z, { joint });
    expectAddsUp(shaped);
    expect(shaped.volumes.addedMm3).toBeCloseTo(0, 3);
    for (const half of [shaped.cope, shaped.drag]) expectDraws(half, Z, shaped.volumes.errorMm3);
    // The level joint would have torn 5 × 20³; the shaped one tears a small part of it, at the rim.
    const proof = await solids.proveDraw(stairs, Z, { joint, steps: 0 });
    expect(proof.trappedMm3).toBeLessThan(0.15 * 5 * 8000);
  });

  it('mounts both halves on a plate', async () => {
    const ball = s.asPattern(s.sphere(20, 3));
    const plate = { length: 100, width: 80, thickness: 10 };
    const split = await solids.splitPattern(ball, Z, { joint: level(0), plate });
    expectNear(soundVolume(split.plate!), 100 * 80 * 10 + split.volumes.patternMm3, 1e-5);
    const { min, max } = s.boundsOf(split.plate!);
    expect(max[2] - min[2]).toBeCloseTo(50, 3);
    expect(split.dowels).toEqual([]);
  });

  it('cuts to a printer’s bed with keys, and nothing is lost but the holes', async () => {
    const bar = s.asPattern(s.box([0, 0, 0], [300, 60, 50]));
    const bed = { length: 120, width: 120, height: 120 };
    const split = await solids.splitPattern(bar, Z, { joint: level(25), dowels: 0, bed });
    expect(split.pieces).toHaveLength(6);
    expect(split.keys).toHaveLength(8);
    for (const piece of split.pieces) {
      const { min, max } = s.boundsOf(piece);
      expect(max[0] - min[0]).toBeLessThanOrEqual(120);
      soundVolume(piece);
    }
    const sum = split.pieces.reduce((total, piece) => total + s.volumeOf(piece), 0);
    const radius = (key: s.Mesh): number => (s.boundsOf(key).max[2] - s.boundsOf(key).min[2]) / 2;
    const holes = split.keys.reduce((total, key) => {
      const r = radius(key);
      return total + Math.PI * (r + 0.15) ** 2 * (4 * r + 0.3);
    }, 0);
    expectNear(300 * 60 * 50 - sum, holes, 0.02);
  });

  it('leaves one half empty where the joint passes the pattern by', async () => {
    const split = await solids.splitPattern(s.asPattern(s.box()), Z, { joint: level(1), printWall: 0 });
    expect(split.cope).toBeNull();
    expectNear(soundVolume(split.drag!), 1);
    expect(split.findings.map(({ code }) => code)).toEqual(['half-empty']);
  });

  it('says so where the kernel reads a filled pattern with loss, and counts the loss; not so of the pattern as it came', async () => {
    const mug = s.asPattern(s.blockyMug());
    const draw: Vec3 = [0.05, 0.02, 1];
    const joint = level(assessDraw(mug, draw).flat.height);
    const direct = await solids.splitPattern(mug, draw, { joint, dowels: 0 });
    expect(codes(direct)).not.toContain('read-with-loss');
    const filled = await solids.fillBackDraft(mug, draw);
    const again = await solids.splitPattern(filled.pattern, draw, { joint, dowels: 0 });
    expect(codes(again)).toContain('read-with-loss');
    const off = Math.abs(again.volumes.patternMm3 - s.volumeOf(filled.pattern));
    expect(off).toBeGreaterThan(direct.volumes.errorMm3 / 2);
    expect(off).toBeLessThanOrEqual(again.volumes.errorMm3);
    for (const half of [direct.cope, direct.drag]) expectDraws(half, draw, direct.volumes.errorMm3);
  });

  it('reads a filled knot as it was written: filling and metal overlap by a hair, and no gap is left between them', async () => {
    const knot = s.asPattern(s.scale(s.trefoil(0.35, 120, 16), 20));
    const draw: Vec3 = [0.1, 0.2, 1];
    const joint = level(assessDraw(knot, draw).flat.height);
    const { pattern } = await solids.fillBackDraft(knot, draw);
    const split = await solids.splitPattern(pattern, draw, { joint, dowels: 0 });
    const { patternMm3, errorMm3 } = split.volumes;
    expect(Math.abs(patternMm3 - s.volumeOf(pattern))).toBeLessThan(0.01 * errorMm3);
    expect(codes(split)).not.toContain('read-with-loss');
    for (const half of [split.cope, split.drag]) expectDraws(half, draw, errorMm3);
  });

  it('refuses a missing joint', async () => {
    const wrong = {} as { joint: Joint };
    await expect(solids.splitPattern(s.asPattern(s.box()), Z, wrong)).rejects.toMatchObject({ code: 'bad-option' });
  });
});
