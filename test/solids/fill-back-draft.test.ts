import { describe, expect, it } from 'vitest';
import { assessDraw } from '@oddside/parting';
import { openSolids } from '@oddside/solids';
import type { Vec3 } from '@oddside/core';
import * as s from '../helpers/shapes.js';
import { expectNear, soundVolume } from './solid-checks.js';

const solids = await openSolids();
const Z: Vec3 = [0, 0, 1];

describe('fillBackDraft', () => {
  it.each<[string, s.Mesh, Vec3]>([
    ['mug', s.blockyMug(), Z],
    ['mug askew', s.blockyMug(), [0.2, 0.3, 0.9]],
    ['channel', s.lippedChannel(), Z],
    ['linked rings', s.linkedRings(), Z],
    ['trefoil', s.trefoil(), Z],
    ['pocket askew', s.blockWithRoundPocket(6, 3, 1, 1, 2, 64), [0.3, 0, 1]],
  ])('%s: the filled pattern draws, and added and old make the new', async (_, mesh, draw) => {
    const pattern = s.asPattern(mesh);
    const filled = await solids.fillBackDraft(pattern, draw);
    const whole = soundVolume(filled.pattern);
    expect(filled.added).not.toBeNull();
    const added = s.volumeOf(filled.added!);
    expectNear(added, filled.addedMm3, 1e-4);
    expectNear(whole, s.volumeOf(mesh) + filled.addedMm3);
    // The columns know nothing of how it was filled.
    const before = assessDraw(pattern, draw);
    const after = assessDraw(filled.pattern, draw);
    expect(Math.abs(before.backDraftMm3 - filled.addedMm3)).toBeLessThanOrEqual(before.backDraftErrorMm3 + 1e-9);
    expect(after.backDraftMm3).toBeLessThanOrEqual(filled.errorMm3);
    const again = await solids.proveDraw(filled.pattern, draw, { steps: 0 });
    expect(again.held.trappedMm3).toBeLessThanOrEqual(again.errorMm3);
  });

  it('leaves a pattern that draws as it is', async () => {
    const filled = await solids.fillBackDraft(s.asPattern(s.pinnedStairs()), Z, { printWall: 0, standSand: 0 });
    expect(filled).toMatchObject({ added: null, addedMm3: 0, findings: [] });
    expectNear(soundVolume(filled.pattern), s.volumeOf(s.pinnedStairs()), 1e-6);
  });

  it('fills for a level joint what that joint tears, and the result parts along it', async () => {
    const stairs = s.asPattern(s.pinnedStairs());
    const joint = { kind: 'level', height: 2.5 } as const;
    const filled = await solids.fillBackDraft(stairs, Z, { joint });
    expectNear(filled.addedMm3, 5);
    soundVolume(filled.pattern);
    const proof = await solids.proveDraw(filled.pattern, Z, { joint, steps: 0 });
    expect(proof.draws).toBe(true);
    const level = assessDraw(filled.pattern, Z);
    expect(level.backDraftMm3 + level.flat.misfitMm3).toBeLessThanOrEqual(filled.errorMm3);
  });

  it('fills for a tilted joint', async () => {
    const joint = { kind: 'tilted', point: [0, 0, 0], normal: [Math.sin(0.5), 0, Math.cos(0.5)] } as const;
    const ball = s.asPattern(s.sphere(10, 4));
    const filled = await solids.fillBackDraft(ball, Z, { joint });
    expectNear(filled.addedMm3, (4000 / 3) * (Math.tan(0.5) - 0.5), 0.02);
    soundVolume(filled.pattern);
    expect((await solids.proveDraw(filled.pattern, Z, { joint, steps: 0 })).draws).toBe(true);
  });
});
