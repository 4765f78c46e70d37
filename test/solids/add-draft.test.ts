import { describe, expect, it } from 'vitest';
import { assessDraw, draftedHull } from '@oddside/parting';
import { openSolids, type DraftedPattern, type Joint } from '@oddside/solids';
import type { Vec3 } from '@oddside/core';
import { bunnyMesh, rescan } from '../helpers/scans.js';
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

/** Never less than the least but for rounding, and more by the stated error at most, which is 1 % of it. */
const within = (drafted: DraftedPattern, exact: number): void => {
  const { addedMm3, addedErrorMm3 } = drafted;
  const told = `${addedMm3} − ${addedErrorMm3}, exact ${exact}`;
  expect(addedMm3, told).toBeGreaterThanOrEqual(exact * (1 - 1e-4));
  expect(addedMm3 - addedErrorMm3, told).toBeLessThanOrEqual(exact);
  expect(addedErrorMm3).toBeLessThan(0.0101 * exact + 0.1);
};

type Box = readonly [min: Vec3, max: Vec3];

/**
 * Metal that draft adds to boxes that stand on one another, for a joint of any shape: columns of 1/20 mm under the cones that
 * hang from the boxes and over those that stand on them, less the boxes. It knows only the distance to a rectangle.
 */
function aroundBoxes(boxes: readonly Box[], draftDeg: number, joint: (x: number, y: number) => number): number {
  const t = Math.tan((draftDeg * Math.PI) / 180);
  const step = 1 / 20;
  const ends = (axis: number): [number, number] => [
    Math.min(...boxes.map(([min]) => min[axis])),
    Math.max(...boxes.map(([, max]) => max[axis])),
  ];
  const [[x0, x1], [y0, y1], [z0, z1]] = [ends(0), ends(1), ends(2)];
  const reach = 2 * (z1 - z0) * t;
  let sum = 0;
  for (let x = x0 - reach + step / 2; x < x1 + reach; x += step) {
    for (let y = y0 - reach + step / 2; y < y1 + reach; y += step) {
      let [top, bottom, metal] = [-Infinity, Infinity, 0];
      for (const [min, max] of boxes) {
        const out = Math.hypot(Math.max(0, min[0] - x, x - max[0]), Math.max(0, min[1] - y, y - max[1]));
        top = Math.max(top, max[2] - out / t);
        bottom = Math.min(bottom, min[2] + out / t);
        if (out === 0) metal += max[2] - min[2];
      }
      const h = joint(x, y);
      sum += Math.max(0, top - h) + Math.max(0, h - bottom) - metal;
    }
  }
  return sum * step * step;
}

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
    const ball = s.uvSphere(R, 96, 180);
    const drafted = await solids.addDraft(s.asPattern(ball), Z, { draftDeg: 10, joint: level(0) });
    await expectDrafted(ball, drafted, Z);
    // The cone touches at height R·sin a, radius R·cos a, and is R/cos a wide at the joint.
    const h = R * Math.sin(a);
    const [r0, r1] = [R / Math.cos(a), R * Math.cos(a)];
    const cone = (Math.PI * h * (r0 * r0 + r0 * r1 + r1 * r1)) / 3;
    const exact = 2 * (cone - Math.PI * (R * R * h - h ** 3 / 3));
    // A ball of facets lies inside the round one by up to R/2·(π/96)²: as much of the skirt's own small width, cone and all.
    expect(Math.abs(drafted.addedMm3 - exact)).toBeLessThan(0.02 * exact);
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
        const more = drafted.addedMm3 - columns.flat.addMm3;
        expect(more).toBeGreaterThanOrEqual(-2 * columns.addErrorMm3);
        expect(more).toBeLessThanOrEqual(drafted.addedErrorMm3 + 2 * columns.addErrorMm3);
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
    within(
      drafted,
      aroundBoxes(
        [
          [
            [-20, -12, -10],
            [20, 12, 10],
          ],
        ],
        3,
        (x) => -Math.tan(0.2) * x,
      ),
    );
  });

  it.each<[string, (x: number, y: number) => number]>([
    ['level', () => 2],
    ['a roof along y', (x) => 5 - 0.4 * Math.abs(x)],
    ['a step of 6 mm over 4 mm', (x) => Math.max(-3, Math.min(3, 1.5 * x))],
    ['a saddle', (x, y) => (x * x - y * y) / 120],
  ])('tapers from a free-form joint: %s', async (_, height) => {
    const [min, max]: Vec3[] = [
      [-20, -12, -10],
      [20, 12, 10],
    ];
    const [n, column] = [129, 0.5];
    const heights = Float64Array.from({ length: n * n }, (__, k) =>
      height(column * ((k % n) - 64), column * (Math.floor(k / n) - 64)),
    );
    const grid = { origin: [0, 0, 0], u: [1, 0, 0], v: [0, 1, 0], column, nu: n, nv: n, u0: -32, v0: -32 } as const;
    const joint: Joint = { kind: 'surface', ...grid, heights };
    const block = s.box(min, max);
    const drafted = await solids.addDraft(s.asPattern(block), Z, { draftDeg: 3, joint });
    await expectDrafted(block, drafted, Z);
    within(drafted, aroundBoxes([[min, max]], 3, height));
  });

  it('a wedge sharper than the draft hangs its cones from its edge', async () => {
    // 20 mm high, 2 mm thick at the foot: 2.9° each side.
    const wedge = s.extrudeAlongY(
      [
        [-1, 0],
        [1, 0],
        [0, 20],
      ],
      30,
    );
    const drafted = await solids.addDraft(s.asPattern(wedge), Z, { draftDeg: 5, joint: level(0) });
    await expectDrafted(wedge, drafted, Z);
    const t = Math.tan(Math.PI / 36);
    within(drafted, 30 * 20 ** 2 * t + (Math.PI * t * t * 20 ** 3) / 3 - 30 * 20);
  });

  it.each([
    ['inside the cone of the upper block, adds nothing of its own', 0.8],
    ['just outside it, has its own', 0.95],
    ['far outside it', 3],
  ])('a ledge %s', async (_, ledge) => {
    // 10 mm of wall at 5° draw out by 0.875 mm.
    const [wide, high]: Box[] = [
      [
        [-20, -12, 0],
        [20, 12, 8],
      ],
      [
        [-20 + ledge, -12 + ledge, 8],
        [20 - ledge, 12 - ledge, 18],
      ],
    ];
    const spans = [wide, high].map(([a, b]) => s.span([a[0], b[0]], [a[1], b[1]], [a[2], b[2]]));
    const mesh = s.boxesUnion(spans);
    const drafted = await solids.addDraft(s.asPattern(mesh), Z, { draftDeg: 5, joint: level(0) });
    await expectDrafted(mesh, drafted, Z);
    within(
      drafted,
      aroundBoxes([wide, high], 5, () => 0),
    );
  });

  it('does not care how finely a surface is cut: only its crest counts', async () => {
    const block = s.box([-20, -12, 0], [20, 12, 20]);
    const options = { draftDeg: 3, joint: level(8), printWall: 0, standSand: 0 };
    const plain = await solids.addDraft(s.asPattern(block), Z, options);
    const fine = await solids.addDraft(s.asPattern(rescan(block, 40, 0, 1)), Z, options);
    expect(fine.pattern.triangles.length).toBeLessThan(3 * 60_000);
    expectNear(fine.addedMm3, plain.addedMm3, 1e-4);
  });

  it('on a scan is what columns say, and nothing of it is too steep (noise seed 7)', async () => {
    const { positions, triangles } = bunnyMesh();
    const larger = { positions: positions.map((x) => 10 * x), triangles };
    const mesh = rescan(larger, 2, 0.06, 7);
    const drafted = await solids.addDraft(s.asPattern(mesh), Z, { draftDeg: 2 });
    await expectDrafted(mesh, drafted, Z);
    const columns = draftedHull(s.asPattern(mesh), Z, { draftDeg: 2, columns: 256 });
    const more = drafted.addedMm3 - columns.flat.addMm3;
    expect(more).toBeGreaterThanOrEqual(-2 * columns.addErrorMm3);
    expect(more).toBeLessThanOrEqual(drafted.addedErrorMm3 + 2 * columns.addErrorMm3);
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
