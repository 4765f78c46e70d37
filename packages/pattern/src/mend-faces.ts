/** Mending steps that drop or turn triangles; the longer ones in small pieces of work. */
import type { Steps } from '@oddside/core';
import { countDuplicates } from './count-duplicates.js';
import { describeShells } from './describe-shells.js';
import { NO_SHELL, labelShells } from './label-shells.js';
import { hasRepeatedCorner, listEdges, nextHalfEdge } from './list-edges.js';
import type { MendState } from './mend-state.js';
import { weldByDistance } from './mend-weld.js';

/** Joins corners closer than `tolerance`, mm. */
export function weldCorners(state: MendState, tolerance: number): void {
  const { target, joined } = weldByDistance(state.positions, tolerance);
  if (joined === 0) return;
  const first = target.findIndex((to, i) => to !== i) * 3;
  for (let i = 0; i < state.triangles.length; i++) state.triangles[i] = target[state.triangles[i]];
  state.note(
    'weld',
    joined,
    `${joined} corners closer than ${tolerance.toPrecision(3)} mm to another were joined to it.`,
    [state.positions[first], state.positions[first + 1], state.positions[first + 2]],
  );
}

export function dropDegenerate(state: MendState): void {
  const before = state.from.length;
  let first = -1;
  for (let t = 0; t < before && first < 0; t++) if (hasRepeatedCorner(state.triangles, t)) first = t;
  if (first < 0) return;
  const where = state.cornerOf(first);
  const { triangles } = state;
  state.keep((t) => !hasRepeatedCorner(triangles, t));
  const count = before - state.from.length;
  state.note('drop-degenerate', count, `${count} triangles with a repeated corner were dropped.`, where);
}

/**
 * Drops extra copies. Copies facing the same way go; two facing each other enclose nothing, and both go, unless most of
 * the surface is like that: then it is two sheets, and which one is meant is not ours to say.
 */
export function* dropDuplicates(state: MendState): Steps<void> {
  const edges = listEdges(state.triangles, state.corners);
  yield 0.3;
  const { duplicates, opposite, first } = countDuplicates(state.triangles, edges);
  if (duplicates === 0) return;
  const where = state.cornerOf(first);
  if (opposite * 2 > state.from.length * 0.2) {
    state.findings.push({
      code: 'two-sheets',
      severity: 'problem',
      message: `${opposite} triangles have a second skin facing the other way. Which one is meant cannot be told, so both were left.`,
      where,
      remedy: 'Export the object again as one closed skin.',
    });
    return;
  }
  yield 0.6;
  const groups = new Map<string, number[]>();
  const { triangles } = state;
  const isCopy = markCopies(triangles, edges);
  for (let t = 0; t < isCopy.length; t++) {
    if (isCopy[t] === 0) continue;
    const key = [...triangles.subarray(t * 3, t * 3 + 3)].sort((a, b) => a - b).join(' ');
    const group = groups.get(key);
    if (group) group.push(t);
    else groups.set(key, [t]);
  }
  const drop = new Set<number>();
  let skins = 0;
  for (const group of groups.values()) {
    const ways = group.map((t) => facing(triangles, t));
    const net = ways.reduce((sum, way) => sum + way, 0);
    // What remains faces as the majority does, once; nothing when both ways are equally many.
    const keep = net === 0 ? -1 : group[ways.indexOf(Math.sign(net))];
    if (net === 0) skins += group.length;
    for (const t of group) if (t !== keep) drop.add(t);
  }
  state.keep((t) => !drop.has(t));
  const copies = drop.size - skins;
  state.note('drop-duplicates', copies, `${copies} extra copies of triangles were dropped.`, where);
  state.note('drop-skins', skins, `${skins} triangles lying back to back, enclosing nothing, were dropped.`, where);
}

/** 1 for every triangle that shares all three corners with another. */
function markCopies(triangles: Uint32Array, edges: ReturnType<typeof listEdges>): Uint8Array {
  const marked = new Uint8Array(triangles.length / 3);
  for (let e = 0; e < edges.count; e++) {
    const tips = new Map<number, number>();
    if (edges.starts[e + 1] - edges.starts[e] < 2) continue;
    for (let i = edges.starts[e]; i < edges.starts[e + 1]; i++) {
      const h = edges.halfEdges[i];
      const tip = triangles[nextHalfEdge(nextHalfEdge(h))];
      const other = tips.get(tip);
      if (other === undefined) tips.set(tip, h);
      else marked[(h / 3) | 0] = marked[(other / 3) | 0] = 1;
    }
  }
  return marked;
}

/** +1 or -1: whether the corners run upwards from the lowest-numbered one. */
function facing(triangles: Uint32Array, t: number): number {
  const [a, b, c] = triangles.subarray(t * 3, t * 3 + 3);
  return (b - a) * (c - b) * (a - c) < 0 ? 1 : -1;
}

/** Drops shells that are debris beside the largest. */
export function* dropDebris(state: MendState, share: number): Steps<void> {
  const edges = listEdges(state.triangles, state.corners);
  yield 0.2;
  const labels = labelShells(state.triangles, edges);
  if (labels.count < 2) return;
  yield 0.3;
  const shells = describeShells(state.positions, state.triangles, labels);
  yield 0.7;
  const sizes = shells.map(({ bounds: { min, max } }) => Math.hypot(max[0] - min[0], max[1] - min[1], max[2] - min[2]));
  const limit = share * Math.max(...sizes);
  const small = sizes.map((size) => size < limit);
  const count = small.filter(Boolean).length;
  if (count === 0) return;
  const { where } = shells[small.indexOf(true)];
  const before = state.from.length;
  state.keep((t) => labels.ofTriangle[t] === NO_SHELL || !small[labels.ofTriangle[t]]);
  yield 0.9;
  state.note(
    'drop-debris',
    count,
    `${count} pieces smaller than ${(share * 100).toPrecision(2)} % of the largest were dropped (${before - state.from.length} triangles).`,
    where,
  );
}
