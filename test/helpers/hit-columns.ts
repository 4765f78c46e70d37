/** The same columns by another way: every crossing of every column by rays through three-mesh-bvh. */
import { BufferAttribute, BufferGeometry, DoubleSide, Ray, Vector3 } from 'three';
import { MeshBVH } from 'three-mesh-bvh';
import type { ColumnField } from '@oddside/parting';
import type { Mesh } from './mesh.js';

/** A tree over a mesh, in double precision and about the given centre. */
export function treeOf({ positions, triangles }: Mesh, origin: readonly number[]): MeshBVH {
  const geometry = new BufferGeometry();
  const local = Float64Array.from(positions, (value, i) => value - origin[i % 3]);
  geometry.setAttribute('position', new BufferAttribute(local, 3));
  geometry.setIndex(new BufferAttribute(triangles.slice(), 1));
  return new MeshBVH(geometry);
}

/** What rays find in the columns of a field. */
export interface HitColumns {
  readonly shadowColumns: number;
  readonly envelopeMm3: number;
  readonly solidMm3: number;
  readonly backDraftMm3: number;
  /** Columns whose hits did not pair up, left out of the sums: rays through edges and corners. */
  readonly unpaired: number;
  /** Highest and lowest hit of each column; NaN where there is none or they did not pair up. */
  readonly tops: Float64Array;
  readonly bottoms: Float64Array;
}

/** Casts one ray up each column of a field and pairs its hits. */
export function hitColumns(tree: MeshBVH, field: ColumnField): HitColumns {
  const { u, v, direction, column, nu, nv, u0, v0, lowest } = field;
  const from = lowest - 1;
  const ray = new Ray(new Vector3(), new Vector3(...direction));
  const tops = new Float64Array(nu * nv).fill(NaN);
  const bottoms = new Float64Array(nu * nv).fill(NaN);
  let [shadow, envelope, solid, held, unpaired] = [0, 0, 0, 0, 0];
  for (let row = 0; row < nv; row++) {
    for (let x = 0; x < nu; x++) {
      const [a, b] = [u0 + x * column, v0 + row * column];
      const at = (k: 0 | 1 | 2): number => a * u[k] + b * v[k] + from * direction[k];
      ray.origin.set(at(0), at(1), at(2));
      const hits = tree
        .raycast(ray, DoubleSide)
        .map((hit) => ({ z: from + hit.distance, up: (hit.face as { normal: Vector3 }).normal.dot(ray.direction) > 0 }))
        .sort((p, q) => p.z - q.z);
      // A ray through an edge is reported by both its triangles.
      const once = hits.filter((hit, i) => i === 0 || hit.z - hits[i - 1].z > 1e-9 || hit.up !== hits[i - 1].up);
      if (once.length === 0) continue;
      if (2 * once.filter((hit) => hit.up).length !== once.length) {
        unpaired++;
        continue;
      }
      shadow++;
      const [bottom, top] = [once[0].z, once[once.length - 1].z];
      const metal = once.reduce((sum, hit) => sum + (hit.up ? hit.z : -hit.z), 0);
      tops[row * nu + x] = top;
      bottoms[row * nu + x] = bottom;
      envelope += top - bottom;
      solid += metal;
      held += Math.max(0, top - bottom - metal);
    }
  }
  const area = column * column;
  return {
    shadowColumns: shadow,
    envelopeMm3: envelope * area,
    solidMm3: solid * area,
    backDraftMm3: held * area,
    unpaired,
    tops,
    bottoms,
  };
}
