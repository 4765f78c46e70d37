import { inspectPattern, listEdges, nextHalfEdge, type Inspection } from '@oddside/pattern';
import { describe, expect, test } from 'vitest';
import {
  MeshBuilder, asPattern, box, edgesOf, hollowCube, keepTriangles, merge, polycube, sphere, torus, turnOver, turnOverSome,
  unweld, type Mesh,
} from '../helpers/shapes.js'; // prettier-ignore
import { snowdenMesh } from '../helpers/scans.js';

const inspect = (mesh: Mesh): Inspection => inspectPattern(asPattern(mesh));
const codes = (inspection: Inspection): string[] => inspection.findings.map((finding) => finding.code);

describe('sound meshes', () => {
  test.each([
    ['a box', box()],
    ['a ball', sphere(5, 3)],
    ['a ring', torus(5, 1)],
  ])('%s', (_, mesh) => {
    const inspection = inspect(mesh);
    expect(inspection).toMatchObject({ closed: true, consistent: true, balanced: true, shells: 1, openEdges: 0 });
    expect(inspection.edges).toBe((mesh.triangles.length / 3) * 1.5);
    expect(inspection.findings).toEqual([]);
    expect(inspection.selfIntersections).toBe(null);
  });

  test('a void inside is a shell of its own', () => {
    expect(inspect(hollowCube())).toMatchObject({ closed: true, shells: 2 });
  });
});

describe('what can be wrong', () => {
  test('holes: one, two apart, two that touch in a corner', () => {
    const ball = sphere(10, 3);
    expect(inspect(keepTriangles(ball, (t) => t !== 0))).toMatchObject({ openEdges: 3, openLoops: 1, closed: false });
    const far = inspect(keepTriangles(ball, (t) => t !== 0 && t !== 700));
    expect(far).toMatchObject({ openEdges: 6, openLoops: 2, consistent: true });
    expect(codes(far)).toEqual(['open-edges']);
    expect(far.findings[0].where).toHaveLength(3);
    // Two faces of an octahedron that share only a corner.
    const build = new MeshBuilder();
    const corners = [
      [1, 0, 0],
      [0, 1, 0],
      [-1, 0, 0],
      [0, -1, 0],
      [0, 0, 1],
      [0, 0, -1],
    ] as const;
    for (const [x, y, z] of corners) build.corner(x, y, z);
    for (let i = 0; i < 4; i++) {
      build.triangle(i, (i + 1) % 4, 4);
      build.triangle((i + 1) % 4, i, 5);
    }
    const touching = inspect(keepTriangles(build.build(), (t) => t !== 0 && t !== 4));
    expect(touching).toMatchObject({ openEdges: 6, openLoops: 2 });
  });

  test('the length of a hole', () => {
    expect(inspect(keepTriangles(box(), (t) => t > 1)).openLength).toBe(4);
  });

  test('loose triangles', () => {
    expect(inspect(unweld(box()))).toMatchObject({ openEdges: 36, openLoops: 12, shells: 12, vertices: 36 });
  });

  test('flipped triangles', () => {
    const inspection = inspect(turnOverSome(sphere(10, 3), (t) => t === 3));
    expect(inspection).toMatchObject({ closed: true, consistent: false, balanced: false, flippedEdges: 3 });
    expect(codes(inspection)).toEqual(['flipped-edges']);
    expect(inspect(turnOver(box()))).toMatchObject({ consistent: true, flippedEdges: 0 });
  });

  test('two cubes along one edge', () => {
    const inspection = inspect(polycube([0, 0, 0], [1, 1, 0]));
    expect(inspection).toMatchObject({
      closed: false,
      consistent: true,
      balanced: true,
      nonManifoldEdges: 1,
      shells: 1,
    });
  });

  test('copies, the same way round and turned over', () => {
    const ball = sphere(10, 2);
    const copies = [...ball.triangles.slice(0, 9), ...turnOver(ball).triangles.slice(30, 36)];
    const more = { ...ball, triangles: Uint32Array.from([...ball.triangles, ...copies]) };
    expect(inspect(more)).toMatchObject({ duplicateTriangles: 5, oppositeTriangles: 2, nonManifoldEdges: 14 });
    const leaf = { positions: Float64Array.of(0, 0, 0, 1, 0, 0, 0, 1, 0), triangles: Uint32Array.of(0, 1, 2, 2, 1, 0) };
    expect(inspect(leaf)).toMatchObject({ closed: true, duplicateTriangles: 1, oppositeTriangles: 1 });
  });

  test('a triangle with a repeated corner does no harm to the rest', () => {
    const cube = box();
    const more = { ...cube, triangles: Uint32Array.from([...cube.triangles, 0, 0, 1, 5, 2, 5]) };
    expect(inspect(more)).toMatchObject({ degenerateTriangles: 2, closed: true, shells: 1, edges: 18, triangles: 14 });
  });
});

describe('the edge table', () => {
  test('every half-edge once, grouped by its two corners, as a plain table counts them', () => {
    const mesh = snowdenMesh('lo');
    const corners = mesh.positions.length / 3;
    const { count, halfEdges, starts } = listEdges(mesh.triangles, corners);
    expect([...halfEdges].sort((a, b) => a - b)).toEqual([...mesh.triangles.keys()]);
    const pair = (h: number): number => {
      const [a, b] = [mesh.triangles[h], mesh.triangles[nextHalfEdge(h)]];
      return Math.min(a, b) * corners + Math.max(a, b);
    };
    let last = -1;
    for (let e = 0; e < count; e++) {
      const keys = new Set([...halfEdges.subarray(starts[e], starts[e + 1])].map(pair));
      expect(keys.size).toBe(1);
      const [key] = keys;
      expect(key).toBeGreaterThan(last);
      last = key;
    }
    const { crowded } = edgesOf(mesh);
    expect(inspect(mesh).nonManifoldEdges).toBe(crowded);
  });

  test('the hub of a fan of thousands', () => {
    const n = 5000;
    const build = new MeshBuilder();
    build.corner(0, 0, 0);
    build.corner(0, 0, 9);
    for (let i = 0; i < n; i++) build.corner(Math.cos((2 * Math.PI * i) / n), Math.sin((2 * Math.PI * i) / n), 0);
    for (let i = 0; i < n; i++) {
      const j = (i * 1237) % n;
      build.triangle(0, 2 + ((j + 1) % n), 2 + j);
      build.triangle(1, 2 + j, 2 + ((j + 1) % n));
    }
    expect(inspect(build.build())).toMatchObject({ closed: true, consistent: true, edges: 3 * n });
  });
});

test('two pieces', () => {
  expect(codes(inspect(merge(box(), box([5, 5, 5], [6, 6, 6]))))).toEqual(['several-shells']);
});
