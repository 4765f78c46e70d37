/** Solids put together from boxes: only outer faces are kept, and corners are shared, also where boxes touch in an edge. */
import { MeshBuilder, type Mesh, type Point } from './mesh.js';

/** A box as its two opposite corners. */
export type Box = readonly [min: Point, max: Point];

/** A box from its lowest and highest x, y and z. */
export const span = (x: readonly [number, number], y: readonly [number, number], z: readonly [number, number]): Box => [
  [x[0], y[0], z[0]],
  [x[1], y[1], z[1]],
];

/**
 * The union of `plus` less the union of `minus`. Every coordinate of every box becomes a grid plane, so faces always meet
 * edge to edge. A space shut in comes out as a cavity with its faces turned into it.
 */
export function boxesUnion(plus: readonly Box[], minus: readonly Box[] = []): Mesh {
  const planes = [0, 1, 2].map((axis) =>
    [...new Set([...plus, ...minus].flatMap(([min, max]) => [min[axis], max[axis]]))].sort((a, b) => a - b),
  );
  const [nx, ny, nz] = planes.map((list) => list.length - 1);
  const middle = (axis: number, i: number): number => (planes[axis][i] + planes[axis][i + 1]) / 2;
  const holds = (boxes: readonly Box[], point: Point): boolean =>
    boxes.some(([min, max]) => point.every((value, axis) => value > min[axis] && value < max[axis]));
  const solid = new Uint8Array(nx * ny * nz);
  const cell = (i: number, j: number, k: number): number => (k * ny + j) * nx + i;
  for (let k = 0; k < nz; k++) {
    for (let j = 0; j < ny; j++) {
      for (let i = 0; i < nx; i++) {
        const point: Point = [middle(0, i), middle(1, j), middle(2, k)];
        solid[cell(i, j, k)] = Number(holds(plus, point) && !holds(minus, point));
      }
    }
  }
  return surfaceOfCells(planes, (i, j, k) =>
    i < 0 || j < 0 || k < 0 || i >= nx || j >= ny || k >= nz ? false : solid[cell(i, j, k)] === 1,
  );
}

/** For each of the six sides: the step to the neighbour, and the four corners of the face, counter-clockwise outside. */
const SIDES: readonly { readonly step: Point; readonly face: readonly string[] }[] = [
  { step: [-1, 0, 0], face: ['000', '001', '011', '010'] },
  { step: [1, 0, 0], face: ['100', '110', '111', '101'] },
  { step: [0, -1, 0], face: ['000', '100', '101', '001'] },
  { step: [0, 1, 0], face: ['010', '011', '111', '110'] },
  { step: [0, 0, -1], face: ['000', '010', '110', '100'] },
  { step: [0, 0, 1], face: ['001', '101', '111', '011'] },
];

/** The surface of the cells of a rectilinear grid for which `solid` is true. */
export function surfaceOfCells(
  planes: readonly (readonly number[])[],
  solid: (i: number, j: number, k: number) => boolean,
): Mesh {
  const [xs, ys, zs] = planes;
  const build = new MeshBuilder();
  const corners = new Map<number, number>();
  const corner = (i: number, j: number, k: number): number => {
    const key = (k * ys.length + j) * xs.length + i;
    const known = corners.get(key);
    if (known !== undefined) return known;
    const made = build.corner(xs[i], ys[j], zs[k]);
    corners.set(key, made);
    return made;
  };
  for (let k = 0; k < zs.length - 1; k++) {
    for (let j = 0; j < ys.length - 1; j++) {
      for (let i = 0; i < xs.length - 1; i++) {
        if (!solid(i, j, k)) continue;
        for (const { step, face } of SIDES) {
          if (solid(i + step[0], j + step[1], k + step[2])) continue;
          const [a, b, c, d] = face.map((at) => corner(i + Number(at[0]), j + Number(at[1]), k + Number(at[2])));
          build.quad(a, b, c, d);
        }
      }
    }
  }
  return build.build();
}

/** Unit cells at whole-number places. */
export function polycube(...cells: readonly Point[]): Mesh {
  return boxesUnion(cells.map(([x, y, z]) => span([x, x + 1], [y, y + 1], [z, z + 1])));
}
