import { describe, expect, it } from 'vitest';
import { assessDraw } from '@oddside/parting';
import { openSolids, type Joint } from '@oddside/solids';
import type { Vec3 } from '@oddside/core';
import { findCovered } from '../../packages/solids/src/find-covered.js';
import { frameJoint, type FramedJoint } from '../../packages/solids/src/frame-joint.js';
import { halfUnderSeen } from '../../packages/solids/src/half-under-seen.js';
import type { Body } from '../../packages/solids/src/kernel.js';
import { loadKernel } from '../../packages/solids/src/open-kernel.js';
import { inScope, type Scope } from '../../packages/solids/src/own-bodies.js';
import { prepareDraw, type PreparedDraw } from '../../packages/solids/src/prepare-draw.js';
import { drawDown, drawUp } from '../../packages/solids/src/trap-sand.js';
import { bunnyMesh, rescan } from '../helpers/scans.js';
import * as s from '../helpers/shapes.js';
import { expectNear } from './solid-checks.js';

const kernel = await loadKernel();
const solids = await openSolids();
const ASKEW: Vec3 = [0.1, 0.2, 1];

/** A scan 100 mm high with a wall's roughness all over, so that steep places have hundreds of small pockets. */
const scan = (): s.Mesh => {
  const { positions, triangles } = bunnyMesh();
  return rescan({ positions: positions.map((x) => 10 * x), triangles }, 3, 0.06, 7);
};

/** The half by another way: the metal on its side united with every face that tears, drawn out to the joint. */
function unitedHalf(scope: Scope, { mesh, sides, body }: PreparedDraw, joint: FramedJoint, way: 1 | -1): Body {
  const past = 0.01 * (mesh.box.max[2] - mesh.box.min[2]);
  if (way > 0) {
    const filling = drawDown(scope, mesh, sides, joint)!;
    return joint.over(scope, scope.unite([joint.over(scope, body, -past), filling]));
  }
  return joint.under(scope, scope.unite([joint.under(scope, body, past), drawUp(scope, mesh, sides, joint)!]));
}

describe('a half made of what is seen of it', () => {
  it.each<[string, () => s.Mesh, boolean, Vec3, number]>([
    ['ring askew', () => s.torus(60, 20, 48, 24), false, [0.1, 0.05, 1], 0],
    ['ring at a leaning joint', () => s.torus(60, 20, 48, 24), false, [0, 0, 1], 0.2],
    ['ball at a leaning joint', () => s.sphere(10, 3), false, [0, 0, 1], 0.5],
    ['filled trefoil', () => s.scale(s.trefoil(0.35, 120, 16), 20), true, ASKEW, 0],
    ['filled mug', () => s.blockyMug(), true, ASKEW, 0],
    ['filled scan of noise, seed 7', scan, true, [0.02, 0.31, 0.95], 0],
  ])('%s: is the half that uniting makes', async (_, mesh, fill, draw, lean) => {
    const given = s.asPattern(mesh());
    const pattern = fill ? (await solids.fillBackDraft(given, draw, { printWall: 0, standSand: 0 })).pattern : given;
    const asked: Joint =
      lean === 0
        ? { kind: 'level', height: assessDraw(given, draw).flat.height }
        : { kind: 'tilted', point: [0, 0, 0], normal: [Math.sin(lean), 0, Math.cos(lean)] };
    await inScope(kernel, async (scope) => {
      const prepared = prepareDraw(scope, pattern, draw);
      const joint = frameJoint(prepared.frame, asked);
      for (const way of [1, -1] as const) {
        const half = halfUnderSeen(scope, prepared, joint, 0, way);
        expect(half, `way ${way}`).not.toBeNull();
        const united = unitedHalf(scope, prepared, joint, way);
        const more = scope.cut(half!, united).volume();
        const less = scope.cut(united, half!).volume();
        expect(Math.abs(half!.volume() - united.volume())).toBeLessThanOrEqual(prepared.errorMm3);
        expect(Math.abs(more) + Math.abs(less)).toBeLessThanOrEqual(prepared.errorMm3);
      }
    });
  });

  it('is not to be had where faces lie partly over others, or where nothing is torn', async () => {
    await inScope(kernel, async (scope) => {
      const pattern = s.asPattern(scan());
      const rough = prepareDraw(scope, pattern, [0.02, 0.31, 0.95]);
      const { height } = assessDraw(pattern, [0.02, 0.31, 0.95]).flat;
      for (const way of [1, -1] as const) {
        expect(halfUnderSeen(scope, rough, frameJoint(rough.frame, { kind: 'level', height }), 0, way)).toBeNull();
      }
      const ball = prepareDraw(scope, s.asPattern(s.sphere(10, 3)), [0, 0, 1]);
      const middle = frameJoint(ball.frame, { kind: 'level', height: 0 });
      expect(halfUnderSeen(scope, ball, middle, 0, 1)).toBeNull();
      expect(halfUnderSeen(scope, ball, middle, -2, 1)).not.toBeNull();
    });
  });

  it('leaves no film where a face lies in the joint to within rounding: closed form, turned every way', async () => {
    // A flange, a stem on it and a wider head: over the flange the cope's half is the head's shadow, 6 × 6 × 5.
    const mushroom = s.boxesUnion([
      s.span([0, 10], [0, 10], [0, 1]),
      s.span([3, 7], [3, 7], [1, 4]),
      s.span([2, 8], [2, 8], [4, 6]),
    ]);
    for (const deg of [0, 17, 34, 71, 123]) {
      const turned = s.rotate(s.translate(mushroom, [0.1, 7.7, 0.3]), [1, 2, 0.5], deg);
      const draw = s.turnPoint([0, 0, 1], [1, 2, 0.5], deg);
      await inScope(kernel, async (scope) => {
        const prepared = prepareDraw(scope, s.asPattern(turned), draw);
        const joint = frameJoint(prepared.frame, { kind: 'level', height: 1.3 - 8e-7 });
        const half = halfUnderSeen(scope, prepared, joint, 0, 1)!;
        expectNear(half.volume(), 180);
        expectNear(half.surfaceArea(), 2 * 36 + 4 * 30);
      });
    }
  });

  it('does not take two bodies in one another for one', async () => {
    // The mesh says twice that there is metal where they overlap, and the two tops lie over one another.
    const two = s.asPattern(s.merge(s.sphere(10, 3), s.translate(s.sphere(10, 3), [3, 0, 4])));
    await inScope(kernel, async (scope) => {
      const draw = prepareDraw(scope, two, [0, 0, 1]);
      const joint = frameJoint(draw.frame, { kind: 'level', height: -3 });
      expect(halfUnderSeen(scope, draw, joint, 0, 1)).toBeNull();
    });
  });
});

describe('findCovered', () => {
  /** A square of two triangles at a height, from 0 to a size in both directions. */
  const square = (z: number, size: number): s.Mesh => ({
    positions: Float64Array.from([0, 0, z, size, 0, z, size, size, z, 0, size, z]),
    triangles: Uint32Array.from([0, 1, 2, 0, 2, 3]),
  });

  it('finds what lies under another face, above or below, and one of two at one height', () => {
    const { positions, triangles } = s.merge(square(0, 2), square(1, 5), square(1, 2));
    const mesh = {
      points: Float32Array.from(positions),
      triangles,
      box: { min: [0, 0, 0], max: [5, 5, 1] },
      rounding: 1e-6,
    } as const;
    const told = (way: 1 | -1): unknown => {
      const { covered, openMm2 } = findCovered(mesh, Uint32Array.from([0, 1, 2, 3, 4, 5]), way);
      return { covered: [...covered], openMm2 };
    };
    expect(told(1)).toEqual({ covered: [1, 1, 0, 0, 1, 1], openMm2: 0 });
    expect(told(-1)).toEqual({ covered: [0, 0, 0, 0, 1, 1], openMm2: 0 });
  });

  it('guesses how much of a covered face is open', () => {
    // A square of 3 mm with one of 2.5 mm over it: both middles are covered, but not what lies near four of the six corners.
    const { positions, triangles } = s.merge(square(0, 3), square(1, 2.5));
    const mesh = {
      points: Float32Array.from(positions),
      triangles,
      box: { min: [0, 0, 0], max: [3, 3, 1] },
      rounding: 1e-6,
    } as const;
    const { covered, openMm2 } = findCovered(mesh, Uint32Array.from([0, 1, 2, 3]), 1);
    expect([...covered]).toEqual([1, 1, 0, 0]);
    expect(openMm2).toBeCloseTo(4 * 1.5, 12);
  });
});
