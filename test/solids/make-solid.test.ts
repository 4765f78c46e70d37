import { describe, expect, it } from 'vitest';
import { openSolids } from '@oddside/solids';
import {
  asPattern,
  box,
  boundsOf,
  turnOver,
  hollowCube,
  merge,
  rotate,
  sphere,
  torus,
  translate,
  volumeOf,
} from '../helpers/shapes.js';
import { inspectPatternFully, type Pattern } from '@oddside/pattern';
import type { Mesh } from '../helpers/mesh.js';
import { snowdenMesh } from '../helpers/scans.js';
import { expectNear, soundVolume } from './solid-checks.js';

const solids = await openSolids();

/** Cubes of 1 mm are thin all over. */
const UNIT_SIZED = { printWall: 0, standSand: 0 };

describe('makeSolid', () => {
  it('unites bodies that overlap and says what became of the volume', async () => {
    const two = asPattern(merge(box(), translate(box(), [0.5, 0.25, 0.125])));
    const made = await solids.makeSolid(two, UNIT_SIZED);
    const both = 0.5 * 0.75 * 0.875;
    expectNear(soundVolume(made.pattern), 2 - both);
    expect(made).toMatchObject({ shells: 2, bodies: 1 });
    expectNear(made.volumeChangeMm3!, -both);
    expect(made.findings.map(({ code }) => code)).toEqual(['shells-united']);
  });

  it('keeps bodies that do not touch, and leaves a sound solid as it is', async () => {
    const apart = await solids.makeSolid(asPattern(merge(box(), translate(box(), [3, 0, 0]))), UNIT_SIZED);
    expect(apart).toMatchObject({ shells: 2, bodies: 2, findings: [] });
    expectNear(soundVolume(apart.pattern), 2);
    const ball = sphere(10, 3);
    const same = await solids.makeSolid(asPattern(ball));
    expect(same.findings).toEqual([]);
    expectNear(soundVolume(same.pattern), volumeOf(ball), 1e-6);
  });

  it('keeps a space shut in, and a body lying loose in it', async () => {
    const hollow = await solids.makeSolid(asPattern(hollowCube()));
    expectNear(soundVolume(hollow.pattern), 7);
    expect(hollow.volumeChangeMm3).toBeCloseTo(0, 5);
    const loose = translate(box([0, 0, 0], [0.5, 0.5, 0.5]), [0.75, 0.75, 0.75]);
    const rattle = await solids.makeSolid(asPattern(merge(hollowCube(), loose)));
    expectNear(soundVolume(rattle.pattern), 7.125);
  });

  it('keeps seven digits far from the origin', async () => {
    const far = translate(merge(box(), translate(box(), [0.5, 0, 0])), [1e6, -2e6, 3e6]);
    const made = await solids.makeSolid(asPattern(far));
    expectNear(made.volumeMm3, 1.5, 1e-6);
    expect(made.pattern.positions[0]).toBeGreaterThan(999_999);
  });
});

/** A flat ribbon bent round by a full turn and `over` of `n` steps more: one shell that lies over itself for the last steps. */
function overlappingRing(n: number, over: number): Mesh {
  const positions: number[] = [];
  const triangles: number[] = [];
  for (let k = 0; k <= n + over; k++) {
    const turn = (2 * Math.PI * k) / n;
    for (const [r, z] of [
      [20, 0],
      [30, 0],
      [30, 8],
      [20, 8],
    ]) {
      positions.push(r * Math.cos(turn), r * Math.sin(turn), z);
    }
  }
  const quad = (a: number, b: number, c: number, d: number): void => void triangles.push(a, b, c, a, c, d);
  for (let k = 0; k < n + over; k++) {
    for (let i = 0; i < 4; i++) quad(4 * k + i, 4 * k + ((i + 1) % 4), 4 * k + 4 + ((i + 1) % 4), 4 * k + 4 + i);
  }
  const end = 4 * (n + over);
  quad(3, 2, 1, 0);
  quad(end, end + 1, end + 2, end + 3);
  const mesh = { positions: Float64Array.from(positions), triangles: Uint32Array.from(triangles) };
  return volumeOf(mesh) < 0 ? turnOver(mesh) : mesh;
}

/** No pair of faces cuts another: the kernel's own word is not taken for it. */
async function expectClean(pattern: Pattern): Promise<void> {
  const looked = await inspectPatternFully(pattern);
  expect(looked).toMatchObject({ closed: true, consistent: true, selfIntersections: 0 });
}

const without = (mesh: Mesh, every: (t: number) => boolean): Mesh => ({
  ...mesh,
  triangles: mesh.triangles.filter((_, k) => !every(Math.floor(k / 3))),
});

describe('makeSolid of what is not sound', () => {
  it('gives a shell that lies over itself a new skin: its volume counts once, within what the skin states', async () => {
    const n = 64;
    const ring = overlappingRing(n, 16);
    const once = (n / 2) * Math.sin((2 * Math.PI) / n) * (30 ** 2 - 20 ** 2) * 8;
    expectNear(volumeOf(ring), 1.25 * once, 1e-9);
    const made = await solids.makeSolid(asPattern(ring), { resolution: 0.5 });
    expectNear(soundVolume(made.pattern), once, 0.01);
    expectNear(made.volumeChangeMm3!, once - 1.25 * once, 0.05);
    expect(made.findings.map(({ code }) => code)).toContain('remeshed');
    expect(made.remeshed).toMatchObject({ resolution: 0.5, bridgedShare: 0, lostShare: 0 });
    expect(made.remeshed!.distance).toBeLessThan(0.5);
    await expectClean(made.pattern);
    const kept = await solids.makeSolid(asPattern(ring), { remesh: 'never' });
    expect(kept.remeshed).toBeNull();
    expect(kept.findings.map(({ code }) => code)).toContain('shell-cuts-itself');
  });

  it('keeps other shells exact beside the one that got a new skin', async () => {
    const cube = translate(box([0, 0, 0], [10, 10, 10]), [60, 0, 0]);
    const made = await solids.makeSolid(asPattern(merge(overlappingRing(64, 16), cube)), { resolution: 1 });
    expect(made).toMatchObject({ shells: 2, bodies: 2 });
    expect(boundsOf(made.pattern).max[0]).toBeCloseTo(70, 4);
  });

  it('a ring thicker than its bend: told that it cuts itself, its volume by Pappus kept', async () => {
    const spindle = torus(2, 3, 96, 64);
    const made = await solids.makeSolid(asPattern(spindle));
    expect(made.findings.map(({ code }) => code)).toContain('shell-cuts-itself');
    expectNear(made.volumeMm3, 2 * Math.PI ** 2 * 2 * 9, 0.005);
  });

  it('closes a small hole in a ball by mending, without a new skin', async () => {
    const ball = sphere(10, 3);
    const made = await solids.makeSolid(asPattern(without(ball, (t) => t < 4)));
    expect(made.remeshed).toBeNull();
    expect(made.findings.map(({ code }) => code)).toEqual(['mended-first']);
    expectNear(soundVolume(made.pattern), volumeOf(ball), 0.002);
  });

  it('turns an inside-out shell outward, and says so', async () => {
    const ball = sphere(10, 2);
    const made = await solids.makeSolid(asPattern(turnOver(ball)));
    expectNear(soundVolume(made.pattern), volumeOf(ball), 1e-6);
    expect(made.findings.map(({ code }) => code)).toEqual(['shells-turned-out']);
  });

  it(
    'takes a surface of loose facets that no mending closes, with holes and debris',
    { timeout: 120_000 },
    async () => {
      // Every seventh facet is missing and every corner is off by a little: nothing can be welded.
      const ball = rotate(sphere(10, 4), [1, 2, 3], 40);
      const corners: number[] = [];
      const facets: number[] = [];
      let shift = 1;
      ball.triangles.forEach((corner, k) => {
        if (Math.floor(k / 3) % 7 === 0) return;
        facets.push(corners.length / 3);
        for (let axis = 0; axis < 3; axis++) {
          shift = (shift * 16_807) % 2_147_483_647;
          corners.push(ball.positions[3 * corner + axis] + 0.02 * (shift / 2_147_483_647 - 0.5));
        }
      });
      const soup: Mesh = { positions: Float64Array.from(corners), triangles: Uint32Array.from(facets) };
      const debris = translate(
        without(sphere(0.2, 1), (t) => t < 6),
        [14, 0, 0],
      );
      const made = await solids.makeSolid(asPattern(merge(soup, debris)), { remesh: 'always', resolution: 0.4 });
      expectNear(soundVolume(made.pattern), volumeOf(ball), 0.02);
      expect(made.remeshed!.distance).toBeLessThan(0.8);
    },
  );

  it('a scan with holes and worse becomes a solid, and says what that cost', { timeout: 120_000 }, async () => {
    const bust = snowdenMesh('lo');
    const made = await solids.makeSolid(asPattern(bust), { remesh: 'always', resolution: 0.12 });
    soundVolume(made.pattern);
    expect(made.remeshed!.distance).toBeLessThan(2 * made.remeshed!.resolution);
    expect(made.findings.map(({ code }) => code)).toContain('remeshed');
  });

  it('refuses what it does not know, and a resolution without end', async () => {
    const ball = asPattern(sphere(10, 2));
    const odd = 'sometimes' as unknown as 'auto';
    await expect(solids.makeSolid(ball, { remesh: odd })).rejects.toMatchObject({ code: 'bad-option' });
    const fine = { remesh: 'always', resolution: 0.001 } as const;
    await expect(solids.makeSolid(ball, fine)).rejects.toMatchObject({ code: 'infeasible' });
  });
});
