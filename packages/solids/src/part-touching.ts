/**
 * A layer of faces dealt out into as few lists as keep patches apart that touch in a corner only. Drawn out, such patches
 * touch in an upright edge: fine each for itself, but as one solid the kernel unites them wrongly. Patches that do not
 * touch stay together, because uniting many small solids one by one takes far longer than a few large ones.
 */
import type { FramedMesh } from './draw-frame.js';
import { EdgeTable } from './edge-table.js';

/** Lists of faces, none of which has two patches with a corner in common. Cost: a few passes over the faces. */
export function partTouching({ triangles, points }: FramedMesh, layer: Uint32Array): Uint32Array[] {
  const patchOf = labelPatches(triangles, layer);
  /** The first patch round each corner that has one already; where there are more, all of them. */
  const firstRound = new Int32Array(points.length / 3).fill(-1);
  const round = new Map<number, number[]>();
  const touching = new Map<number, Set<number>>();
  for (let k = 0; k < layer.length; k++) {
    const patch = patchOf[k];
    for (let n = 0; n < 3; n++) {
      const corner = triangles[3 * layer[k] + n];
      if (firstRound[corner] < 0) firstRound[corner] = patch;
      if (firstRound[corner] === patch) continue;
      const here = round.get(corner) ?? [firstRound[corner]];
      if (here.includes(patch)) continue;
      for (const other of here) {
        join(touching, patch, other);
        join(touching, other, patch);
      }
      here.push(patch);
      round.set(corner, here);
    }
  }
  const listOf = new Map<number, number>();
  const lists: number[][] = [];
  for (let k = 0; k < layer.length; k++) {
    const patch = patchOf[k];
    let list = listOf.get(patch);
    if (list === undefined) {
      const taken = new Set(Array.from(touching.get(patch) ?? [], (other) => listOf.get(other)));
      list = 0;
      while (taken.has(list)) list++;
      listOf.set(patch, list);
    }
    (lists[list] ??= []).push(layer[k]);
  }
  return lists.map((list) => Uint32Array.from(list));
}

function join(sets: Map<number, Set<number>>, one: number, other: number): void {
  const set = sets.get(one);
  if (set) set.add(other);
  else sets.set(one, new Set([other]));
}

/** For each face of the layer a number that it shares with the faces it hangs together with by edges. */
export function labelPatches(triangles: Uint32Array, layer: Uint32Array): Uint32Array {
  const leader = Uint32Array.from(layer, (_, k) => k);
  const leaderOf = (k: number): number => {
    while (leader[k] !== k) k = leader[k] = leader[leader[k]];
    return k;
  };
  const edges = new EdgeTable(3 * layer.length);
  for (let k = 0; k < layer.length; k++) {
    for (let n = 0; n < 3; n++) {
      const a = triangles[3 * layer[k] + n];
      const b = triangles[3 * layer[k] + ((n + 1) % 3)];
      const across = edges.get(b, a);
      if (across >= 0) leader[leaderOf(k)] = leaderOf(across);
      else edges.set(a, b, k);
    }
  }
  return leader.map((_, k) => leaderOf(k));
}
