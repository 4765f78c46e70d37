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
  rotate,
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

/** Length moments of a solid along an axis, from the areas of manifold-3d's own slices: ∫A, ∫tA, ∫t²A. */
function momentsBySlices(kernel: Kernel, mesh: Mesh, axis: readonly [number, number, number]): number[] {
  const size = Math.hypot(...axis);
  const d = axis.map((part) => part / size);
  const helper = Math.abs(d[2]) < 0.9 ? [0, 0, 1] : [1, 0, 0];
  const cross = (a: number[], b: number[]): number[] => [
    a[1] * b[2] - a[2] * b[1],
    a[2] * b[0] - a[0] * b[2],
    a[0] * b[1] - a[1] * b[0],
  ];
  const along = cross(helper, d);
  const u = along.map((part) => part / Math.hypot(...along));
  const v = cross(d, u);
  const laid = new Float32Array(mesh.positions.length);
  for (let i = 0; i < mesh.positions.length; i += 3) {
    [u, v, d].forEach((row, k) => {
      laid[i + k] = row[0] * mesh.positions[i] + row[1] * mesh.positions[i + 1] + row[2] * mesh.positions[i + 2];
    });
  }
  const solid = kernel.Manifold.ofMesh(new kernel.Mesh({ numProp: 3, vertProperties: laid, triVerts: mesh.triangles }));
  const { min, max } = solid.boundingBox();
  const slices = 800;
  const step = (max[2] - min[2]) / slices;
  const moments = [0, 0, 0];
  for (let i = 0; i < slices; i++) {
    const t = min[2] + (i + 0.5) * step;
    const section = solid.slice(t);
    const area = section.area();
    section.delete();
    for (let k = 0; k < 3; k++) moments[k] += area * t ** k * step;
  }
  solid.delete();
  return moments;
}

describe('centroid and inertia as the slices of manifold-3d have them', () => {
  test.each<[string, Mesh]>([
    ['hare', bunnyMesh()],
    ['pulley, askew', rotate(pulley(50, 30, 10), [1, 2, 3], 40)],
    ['channel', lippedChannel(3)],
  ])('%s', async (_, mesh) => {
    const kernel = await Module();
    kernel.setup();
    const { volumeMm3, centroid, inertiaMm5 } = measurePattern(asPattern(mesh));
    const axes = [
      [1, 0, 0],
      [0, 1, 0],
      [0, 0, 1],
      [1, 1, 0],
      [0, 1, 1],
      [1, 0, 1],
    ] as const;
    const trace = (inertiaMm5[0][0] + inertiaMm5[1][1] + inertiaMm5[2][2]) / 2;
    const spread = Math.sqrt(trace / volumeMm3);
    for (const axis of axes) {
      const [m0, m1, m2] = momentsBySlices(kernel, mesh, axis);
      const d = axis.map((part) => part / Math.hypot(...axis));
      const along = d[0] * centroid[0] + d[1] * centroid[1] + d[2] * centroid[2];
      expect(Math.abs(m0 / volumeMm3 - 1)).toBeLessThan(1e-3);
      expect(Math.abs(m1 / m0 - along) / spread).toBeLessThan(1e-3);
      // Second moment along d about the centroid: half the trace of the inertia less the inertia about d.
      let about = 0;
      for (let i = 0; i < 3; i++) for (let j = 0; j < 3; j++) about += d[i] * inertiaMm5[i][j] * d[j];
      const second = m2 - m1 ** 2 / m0;
      expect(Math.abs(second - (trace - about)) / trace).toBeLessThan(2e-3);
    }
  });
});
