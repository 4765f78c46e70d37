/** Our integrals beside those of manifold-3d on the same meshes. */
import Module from 'manifold-3d';
import { measurePattern } from '@oddside/pattern';
import { beforeAll, describe, expect, test } from 'vitest';
import { bunnyMesh } from '../helpers/scans.js';
import {
  asPattern,
  dumbbell,
  hollowCube,
  lippedChannel,
  pulley,
  sphere,
  torus,
  trefoil,
  type Mesh,
} from '../helpers/shapes.js';

type Kernel = Awaited<ReturnType<typeof Module>>;

describe('volume and area as manifold-3d has them', () => {
  let kernel: Kernel;
  beforeAll(async () => {
    kernel = await Module();
    kernel.setup();
  });

  test.each<[string, Mesh]>([
    ['ball', sphere(10, 4)],
    ['ring', torus(20, 5)],
    ['hollow cube', hollowCube()],
    ['channel', lippedChannel()],
    ['pulley', pulley(50, 30, 10)],
    ['dumbbell', dumbbell(10, 15, 4)],
    ['knot', trefoil()],
    ['hare', bunnyMesh()],
  ])('%s', (_, mesh) => {
    // manifold keeps 32-bit coordinates, so both are given the same rounded ones.
    const positions = Float64Array.from(Float32Array.from(mesh.positions));
    const solid = kernel.Manifold.ofMesh(
      new kernel.Mesh({ numProp: 3, vertProperties: Float32Array.from(positions), triVerts: mesh.triangles }),
    );
    const volume = solid.volume();
    const area = solid.surfaceArea();
    solid.delete();
    const ours = measurePattern(asPattern({ positions, triangles: mesh.triangles }));
    expect(ours.reliable).toBe(true);
    expect(Math.abs(ours.volumeMm3 / volume - 1)).toBeLessThan(1e-9);
    expect(Math.abs(ours.areaMm2 / area - 1)).toBeLessThan(1e-9);
  });
});
