import { describe, expect, it } from 'vitest';
import { assessDraw, draftedHull } from '@oddside/parting';
import { openSolids, type DraftedPattern, type Joint } from '@oddside/solids';
import type { Vec3 } from '@oddside/core';
import * as s from '../helpers/shapes.js';
import { expectNear, soundVolume } from './solid-checks.js';

const solids = await openSolids();
const Z: Vec3 = [0, 0, 1];
const level = (height: number): Joint => ({ kind: 'level', height });

/** What must hold of every drafted pattern; gives its volume. */
async function expectDrafted(mesh: s.Mesh, drafted: DraftedPattern, direction: Vec3): Promise<number> {
  const volume = soundVolume(drafted.pattern);
  expectNear(volume, s.volumeOf(mesh) + drafted.addedMm3);
  if (drafted.added) expectNear(s.volumeOf(drafted.added), drafted.addedMm3, 1e-4);
  const { joint, draftDeg } = drafted;
  const proof = await solids.proveDraw(drafted.pattern, direction, { joint, steps: 0 });
  expect(proof.held.trappedMm3).toBeLessThanOrEqual(proof.errorMm3);
  expect(proof.draws).toBe(true);
  const assessed = assessDraw(drafted.pattern, direction, { requiredDraftDeg: draftDeg - 0.05 });
  expect(assessed.backDraftMm3).toBeLessThanOrEqual(assessed.backDraftErrorMm3 + 1e-6 * volume);
  expect(assessed.draft.shallowShare).toBeLessThan(1e-3);
  return volume;
}

const within = (drafted: DraftedPattern, exact: number): void => {
  const { addedMm3, addedErrorMm3 } = drafted;
  expect(Math.abs(addedMm3 - exact), `${addedMm3} ± ${addedErrorMm3}, exact ${exact}`).toBeLessThanOrEqual(
    addedErrorMm3,
  );
  expect(addedErrorMm3).toBeLessThan(0.03 * exact + 1);
};

/** Metal that `draftDeg` adds to an upright prism of area A and outline p: steps off by h·tan everywhere (Steiner). */
const steiner = (outline: number, height: number, draftDeg: number): number => {
  const t = Math.tan((draftDeg * Math.PI) / 180);
  return (outline * t * height ** 2) / 2 + (Math.PI * t ** 2 * height ** 3) / 3;
};

describe('addDraft', () => {
  it.each([
    [2, 0],
    [5, 0],
    [2, 10],
    [5, 13],
  ])('box, %d° from a joint at %d: what the offset of a rectangle says', async (draftDeg, height) => {
    const block = s.box([0, 0, 0], [40, 25, 20]);
    const drafted = await solids.addDraft(s.asPattern(block), Z, { draftDeg, joint: level(height) });
    await expectDrafted(block, drafted, Z);
    within(drafted, steiner(130, 20 - height, draftDeg) + steiner(130, height, draftDeg));
  });

  it('cylinder becomes a cut cone from the joint both ways', async () => {
    const round = s.cylinder(10, 30, 96);
    const drafted = await solids.addDraft(s.asPattern(round), Z, { draftDeg: 3, joint: level(0) });
    await expectDrafted(round, drafted, Z);
    within(drafted, steiner(2 * 96 * 10 * Math.sin(Math.PI / 96), 30, 3));
  });

  it('hole in a prism narrows, and where it closes this is said', async () => {
    const ring = (hole: number): s.Mesh => s.extrude(s.circle(20, 96), 20, [s.circle(hole, 96)]);
    const open = await solids.addDraft(s.asPattern(ring(5)), Z, { draftDeg: 5, joint: level(0) });
    await expectDrafted(ring(5), open, Z);
    expect(open.findings.map(({ code }) => code)).toEqual(['draft-added']);
    const r = 20 * Math.tan(Math.PI / 36);
    // The pillar of sand goes from 5 to 5 − 20·tan; outside the disc grows from 20.
    const exact =
      Math.PI * 20 * 25 - (Math.PI * 20 * (25 + 5 * (5 - r) + (5 - r) ** 2)) / 3 +
      (Math.PI * 20 * (400 + 20 * (20 + r) + (20 + r) ** 2)) / 3 - Math.PI * 20 * 400; // prettier-ignore
    within(open, exact);
    const shut = await solids.addDraft(s.asPattern(ring(1.5)), Z, { draftDeg: 5, joint: level(0) });
    await expectDrafted(ring(1.5), shut, Z);
    expect(shut.findings.map(({ code }) => code)).toEqual(['draft-added', 'hole-closed', 'sand-fin']);
    expect(shut.findings[2].message).toMatch(/may not stand/);
  });

  it('adds nothing to a cone that has the draft, and something for a little more', async () => {
    // The faces of a many-sided cone lie in from its corners: wide enough at its foot for 5° everywhere.
    const cone = s.frustum(10 + 20 * Math.tan((5 * Math.PI) / 180) + 0.01, 10, 20, 96);
    const same = await solids.addDraft(s.asPattern(cone), Z, { draftDeg: 5, joint: level(0) });
    expect(same).toMatchObject({ added: null, findings: [] });
    expectNear(soundVolume(same.pattern), s.volumeOf(cone), 1e-6);
    const more = await solids.addDraft(s.asPattern(cone), Z, { draftDeg: 5.5, joint: level(0) });
    expect(more.addedMm3).toBeGreaterThan(1);
  });

  it('a ball gets the skirt between it and its tangent cone, above and below', async () => {
    const R = 20;
    const a = (10 * Math.PI) / 180;
    const ball = s.uvSphere(R, 64, 90);
    const drafted = await solids.addDraft(s.asPattern(ball), Z, { draftDeg: 10, joint: level(0) });
    await expectDrafted(ball, drafted, Z);
    // The cone touches at height R·sin a, radius R·cos a, and is R/cos a wide at the joint.
    const h = R * Math.sin(a);
    const [r0, r1] = [R / Math.cos(a), R * Math.cos(a)];
    const cone = (Math.PI * h * (r0 * r0 + r0 * r1 + r1 * r1)) / 3;
    const exact = 2 * (cone - Math.PI * (R * R * h - h ** 3 / 3));
    // A ball of facets lies inside the round one by up to R/2·(π/180)²: 1 % of the skirt's own small width and more.
    expect(Math.abs(drafted.addedMm3 - exact)).toBeLessThan(0.05 * exact);
  });

  it('grows with the draft, and is what columns say it is, whichever way it lies', async () => {
    const mug = s.asPattern(s.blockyMug());
    for (const way of [Z, [0.3, -0.2, 0.9] as Vec3]) {
      let before = 0;
      for (const draftDeg of [1, 4]) {
        const columns = draftedHull(mug, way, { draftDeg, columns: 256 });
        const drafted = await solids.addDraft(mug, way, { draftDeg });
        expect(drafted.joint).toEqual(level(columns.flat.height));
        await expectDrafted(s.blockyMug(), drafted, way);
        expect(drafted.addedMm3).toBeGreaterThan(before);
        const room = drafted.addedErrorMm3 + 2 * columns.addErrorMm3;
        expect(Math.abs(drafted.addedMm3 - columns.flat.addMm3)).toBeLessThanOrEqual(room);
        before = drafted.addedMm3;
      }
    }
  });

  it('is the same for a block turned about the draw', async () => {
    const block = s.box([-20, -12, 0], [20, 12, 20]);
    const options = { draftDeg: 3, joint: level(8) };
    const straight = await solids.addDraft(s.asPattern(block), Z, options);
    const c = Math.cos(0.4);
    const d = Math.sin(0.4);
    const positions = block.positions.slice();
    for (let k = 0; k < positions.length; k += 3) {
      const [x, y] = [block.positions[k], block.positions[k + 1]];
      positions[k] = c * x - d * y;
      positions[k + 1] = d * x + c * y;
    }
    const turned = await solids.addDraft(s.asPattern({ ...block, positions }), Z, options);
    expect(Math.abs(turned.addedMm3 - straight.addedMm3)).toBeLessThanOrEqual(straight.addedErrorMm3);
  });

  it('tapers from a tilted joint', async () => {
    const block = s.box([-20, -12, -10], [20, 12, 10]);
    const joint: Joint = { kind: 'tilted', point: [0, 0, 0], normal: [Math.sin(0.2), 0, Math.cos(0.2)] };
    const drafted = await solids.addDraft(s.asPattern(block), Z, { draftDeg: 3, joint });
    await expectDrafted(block, drafted, Z);
    expect(drafted.addedMm3).toBeGreaterThan(100);
  });

  it('says what is wrong with its options', async () => {
    const block = s.asPattern(s.box());
    for (const draftDeg of [0, 21, NaN]) {
      await expect(solids.addDraft(block, Z, { draftDeg })).rejects.toThrow(/draftDeg \(degrees\).*above 0/);
    }
    await expect(solids.addDraft(block, Z, { draft: 2 } as never)).rejects.toMatchObject({ code: 'bad-option' });
    await expect(solids.addDraft(block, [0, 0, 0])).rejects.toMatchObject({ code: 'bad-direction' });
    const signal = AbortSignal.abort(new Error('stop'));
    await expect(solids.addDraft(block, Z, { signal })).rejects.toThrow('stop');
  });
});
