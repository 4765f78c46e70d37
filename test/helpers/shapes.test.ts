import { describe, expect, it } from 'vitest';
import { bunnyMesh, snowdenMesh } from './scans.js';
import * as s from './shapes.js';

const square = (side: number): number => side * side;
const ngon = (r: number, n: number): number => (n / 2) * r * r * Math.sin((2 * Math.PI) / n);
/** Builder → its volume in closed form, for the polyhedron that is really built. */
const exact: readonly [string, s.Mesh, number][] = [
  ['box', s.box([-1, 2, 3], [4, 5, 7]), 60],
  ['tetrahedron', s.tetrahedron(), 8 / 3],
  ['torus', s.torus(2, 0.5, 40, 24), s.revolvedVolume(s.circle(0.5, 24, [2, 0]), 40)],
  ['cylinder', s.cylinder(2, 5, 48), ngon(2, 48) * 5],
  ['frustum', s.frustum(2, 1, 3, 48), (ngon(1, 48) * 3 * (4 + 2 + 1)) / 3],
  ['pulley', s.pulley(3, 1, 2, 1, 32), ngon(3, 32) * 2 + ngon(1, 32) * 2],
  ['plate with round hole', s.plateWithRoundHole(10, 3, 2, 40), (100 - ngon(2, 40)) * 3],
  ['plate with square hole', s.plateWithSquareHole(10, 3, 2), (100 - 4) * 3],
  ['block with square pocket', s.blockWithSquarePocket(8, 5, 2, 3, 4), 8 * 8 * 5 - 2 * 3 * 4],
  ['block with round pocket', s.blockWithRoundPocket(6, 4, 1, 1, 2, 40), 144 - ngon(1, 40) * 2],
  ['block with conical pocket', s.blockWithRoundPocket(6, 4, 0.8, 0.6, 1, 40), 144 - (ngon(1, 40) * 1.48) / 3],
  ['L bracket', s.lBracket(3), 9],
  ['seven steps', s.spiralStair(7), 7],
  ['eight steps', s.spiralStair(8), 8],
  ['pinned stairs', s.pinnedStairs(), 23],
  ['lipped channel', s.lippedChannel(2), (16 - 4 - 0.5) * 2],
  ['dovetail', s.dovetail(1, 2, 1, 3), (4 * 2 - 1.5) * 3],
  ['blocky mug', s.blockyMug(), 55],
  ['hollow cube', s.hollowCube(), 7],
  ['two-pocket cube', s.twoPocketCube(2), 216 - 4],
  ['U notch', s.uNotch(2), (6 - 1) * 2],
  ['two arms', s.twoArms(2), (9 - 2) * 2],
  ['polycube of cells that touch in an edge', s.polycube([0, 0, 0], [1, 1, 0]), 2],
  ['polycube of cells that touch in a corner', s.polycube([0, 0, 0], [1, 1, 1]), 2],
  [
    'extrusion with two holes',
    s.extrude(s.squareOutline(8), 2, [s.circle(1, 9, [-2, 0]), s.circle(1.5, 7, [2, 1])]),
    (64 - ngon(1, 9) - ngon(1.5, 7)) * 2,
  ],
  ['extrusion of a clockwise outline', s.extrude(s.squareOutline(2).toReversed(), 3), 12],
];

/** Builder → volume of the smooth solid it approaches from inside, and how near it must come. */
const approached: readonly [string, s.Mesh, number, number][] = [
  ['icosphere', s.sphere(3, 4), 36 * Math.PI, 0.004],
  ['uv sphere', s.uvSphere(3, 128, 64), 36 * Math.PI, 0.002],
  ['napkin ring', s.napkinRing(2, 1, 256, 128), (4 / 3) * Math.PI * 3 ** 1.5, 0.001],
  [
    'dumbbell',
    s.dumbbell(1, 3, 0.4, 256, 128),
    2 * ((4 / 3) * Math.PI - (Math.PI / 3) * square(1 - Math.sqrt(0.84)) * (2 + Math.sqrt(0.84))) +
      2 * Math.PI * 0.16 * (3 - Math.sqrt(0.84)),
    0.001,
  ],
  ['linked rings', s.linkedRings(1, 0.25, 256, 96), 4 * Math.PI * Math.PI * 0.0625, 0.002],
];

const all: [string, s.Mesh][] = [
  ...exact.map(([name, mesh]): [string, s.Mesh] => [name, mesh]),
  ...approached.map(([name, mesh]): [string, s.Mesh] => [name, mesh]),
  ['trefoil', s.trefoil()],
];

describe('shape builders', () => {
  it.each(all)('%s is closed, turned one way, and without degenerate faces', (_name, mesh) => {
    expect(s.edgesOf(mesh)).toMatchObject({ unbalanced: 0, degenerate: 0 });
    for (let t = 0; t < mesh.triangles.length; t += 3) {
      const area = s.areaOf({ positions: mesh.positions, triangles: mesh.triangles.subarray(t, t + 3) });
      if (area < 1e-9) expect.fail(`triangle ${t / 3} has area ${area}`);
    }
  });

  it.each(exact)('%s has its closed-form volume', (_name, mesh, volume) => {
    expect(s.volumeOf(mesh)).toBeCloseTo(volume, 10);
  });

  it.each(approached)('%s approaches its smooth volume from inside', (_name, mesh, volume, share) => {
    const found = s.volumeOf(mesh);
    expect(found).toBeLessThan(volume);
    expect(found).toBeGreaterThan(volume * (1 - share));
  });

  it('a trefoil bar has about the volume of its length times its section', () => {
    // Pappus: exact for a smooth tube whatever its curve; the length is summed from the same middle line.
    const mesh = s.trefoil(0.2, 600, 48);
    let length = 0;
    const at = (a: number): number[] => [
      (2 + Math.cos(3 * a)) * Math.cos(2 * a),
      (2 + Math.cos(3 * a)) * Math.sin(2 * a),
      Math.sin(3 * a),
    ];
    for (let i = 0; i < 5000; i++) {
      const [p, q] = [at((2 * Math.PI * i) / 5000), at((2 * Math.PI * (i + 1)) / 5000)];
      length += Math.hypot(q[0] - p[0], q[1] - p[1], q[2] - p[2]);
    }
    expect(s.volumeOf(mesh) / (Math.PI * 0.04 * length)).toBeCloseTo(1, 2);
  });

  it('cells that touch in an edge share it: four faces, still balanced', () => {
    const mesh = s.polycube([0, 0, 0], [1, 1, 0]);
    expect(s.edgesOf(mesh)).toEqual({ unbalanced: 0, crowded: 1, degenerate: 0 });
    expect(mesh.positions.length / 3).toBe(14);
  });

  it('the cavity of the hollow cube is turned inwards', () => {
    const { positions, triangles } = s.hollowCube();
    const inner = triangles.filter((_, i) => {
      const first = Math.floor(i / 3) * 3;
      return [0, 1, 2].every((k) => [0, 1, 2].every((axis) => positions[3 * triangles[first + k] + axis] % 2 !== 0));
    });
    expect(s.volumeOf({ positions, triangles: inner })).toBeCloseTo(-1, 12);
  });

  it('an outline that crosses itself or repeats a point is refused rather than left open', () => {
    const start = s.squareOutline(2);
    expect(() => s.extrude([start[0], start[1], start[1], start[2]], 1)).toThrow(/crosses itself or repeats/);
    expect(() => s.extrude([start[0], start[2], start[1], start[3]], 1)).toThrow(/crosses itself or repeats/);
  });
});

describe('transforms', () => {
  const mesh = s.pinnedStairs();

  it('a quarter turn is exact and right-handed', () => {
    expect(s.turnPoint([1, 0, 0], [0, 0, 1], 90)).toEqual([0, 1, 0]);
    expect(s.turnPoint([0, 1, 0], [1, 0, 0], 90)).toEqual([0, 0, 1]);
  });

  it.each([1, 2, 3])('turning by seed %i keeps volume, area and turns back', (seed) => {
    const { axis, deg } = s.randomRotation(seed);
    const turned = s.rotate(mesh, axis, deg);
    expect(s.volumeOf(turned)).toBeCloseTo(23, 10);
    expect(s.areaOf(turned)).toBeCloseTo(s.areaOf(mesh), 10);
    const back = s.rotate(turned, axis, -deg);
    back.positions.forEach((value, i) => expect(value).toBeCloseTo(mesh.positions[i], 12));
    expect(Math.abs(turned.positions[3] - mesh.positions[3])).toBeGreaterThan(1e-6);
  });

  it('scale, translate, turn over and unweld do what they say', () => {
    expect(s.volumeOf(s.scale(mesh, 2))).toBeCloseTo(184, 10);
    expect(s.volumeOf(s.scale(mesh, [1, 2, 3]))).toBeCloseTo(138, 10);
    expect(s.boundsOf(s.translate(mesh, [1, 2, 3]))).toEqual({ min: [1, 2, 3], max: [7, 4, 8] });
    expect(s.volumeOf(s.turnOver(mesh))).toBeCloseTo(-23, 10);
    const soup = s.unweld(mesh);
    expect(soup.positions.length).toBe(mesh.triangles.length * 3);
    expect(s.volumeOf(soup)).toBeCloseTo(23, 10);
    expect(s.edgesOf(soup).unbalanced).toBe(mesh.triangles.length);
  });

  it('shuffling keeps the set of triangles and the way they turn', () => {
    const key = ({ triangles }: s.Mesh): string[] =>
      Array.from({ length: triangles.length / 3 }, (_, t) => {
        const corner = Array.from(triangles.subarray(3 * t, 3 * t + 3));
        const first = corner.indexOf(Math.min(...corner));
        return [0, 1, 2].map((k) => corner[(first + k) % 3]).join(' ');
      });
    const shuffled = s.shuffleTriangles(mesh, 7);
    expect(key(shuffled)).not.toEqual(key(mesh));
    expect(key(shuffled).sort()).toEqual(key(mesh).sort());
    expect(s.shuffleTriangles(mesh, 7)).toEqual(shuffled);
  });

  it('none of them changes what it was given', () => {
    const before = structuredClone(mesh);
    s.rotate(mesh, [1, 2, 3], 40);
    s.scale(mesh, 2);
    s.translate(mesh, [1, 1, 1]);
    s.shuffleTriangles(mesh, 1);
    s.turnOver(mesh);
    s.keepTriangles(mesh, (t) => t > 3);
    expect(mesh).toEqual(before);
  });

  it('the random numbers are fixed by their seed and evenly spread', () => {
    const random = s.seededRandom(42);
    const first = [random(), random(), random()];
    const again = s.seededRandom(42);
    expect([again(), again(), again()]).toEqual(first);
    const sum = [0, 0, 0];
    for (let i = 0; i < 4000; i++) s.randomDirection(random).forEach((value, axis) => (sum[axis] += value / 4000));
    sum.forEach((mean) => expect(Math.abs(mean)).toBeLessThan(0.03));
  });
});

describe('scans', () => {
  it('the hare is closed and has 3,674 triangles', () => {
    const hare = bunnyMesh();
    expect(hare.triangles.length / 3).toBe(3674);
    expect(s.edgesOf(hare)).toMatchObject({ unbalanced: 0, degenerate: 0 });
    expect(s.volumeOf(hare)).toBeGreaterThan(0);
  });

  it('the bust has its holes', () => {
    expect(snowdenMesh('hi').triangles.length / 3).toBe(109_259);
    const low = snowdenMesh('lo');
    expect(low.triangles.length / 3).toBe(37_629);
    expect(s.edgesOf(low).unbalanced).toBeGreaterThan(0);
  });
});
