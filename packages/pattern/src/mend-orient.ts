/** Mending steps that make all triangles agree which side is out, in small pieces of work. */
import type { Steps } from '@oddside/core';
import { describeShells, type Shell } from './describe-shells.js';
import { NO_SHELL, labelShells } from './label-shells.js';
import { listEdges, type EdgeTable } from './list-edges.js';
import type { MendState } from './mend-state.js';

/** Turns triangles so that neighbours agree; the smaller part of each piece is turned. */
export function* agreeNeighbours(state: MendState): Steps<void> {
  const { triangles } = state;
  const count = triangles.length / 3;
  const edges = listEdges(triangles, state.corners);
  yield 0.3;
  const { starts, neighbours, sameWay } = listNeighbours(triangles, edges);
  yield 0.5;
  const turn = new Int8Array(count).fill(-1);
  const stack: number[] = [];
  let turned = 0;
  let contradictions = 0;
  let first = -1;
  for (let seed = 0; seed < count; seed++) {
    if (turn[seed] >= 0) continue;
    turn[seed] = 0;
    stack.push(seed);
    const members: number[] = [];
    while (stack.length > 0) {
      const t = stack.pop()!;
      members.push(t);
      for (let i = starts[t]; i < starts[t + 1]; i++) {
        const wanted = turn[t] ^ sameWay[i];
        const other = neighbours[i];
        if (turn[other] < 0) {
          turn[other] = wanted;
          stack.push(other);
        } else if (turn[other] !== wanted) {
          contradictions++;
        }
      }
    }
    const toTurn = members.reduce((sum, t) => sum + turn[t], 0);
    const flip = toTurn * 2 > members.length ? 1 : 0;
    for (const t of members) {
      if ((turn[t] ^ flip) === 0) continue;
      turned++;
      if (first < 0) first = t;
      const b = triangles[t * 3 + 1];
      triangles[t * 3 + 1] = triangles[t * 3 + 2];
      triangles[t * 3 + 2] = b;
    }
  }
  yield 0.8;
  if (turned > 0)
    state.note(
      'agree',
      turned,
      `${turned} triangles were turned to agree with their neighbours.`,
      state.cornerOf(first),
    );
  if (contradictions > 0) {
    state.findings.push({
      code: 'one-sided',
      severity: 'problem',
      message:
        'Part of the surface is one-sided, like a band with a half twist: its triangles cannot be made to agree.',
      remedy: 'Look at the places that the inspection names, and export the object again.',
    });
  }
}

/** Neighbours of each triangle across edges with exactly two, and whether the two run along the edge the same way. */
function listNeighbours(
  triangles: Uint32Array,
  edges: EdgeTable,
): { starts: Uint32Array; neighbours: Uint32Array; sameWay: Uint8Array } {
  const count = triangles.length / 3;
  const starts = new Uint32Array(count + 1);
  const each = (visit: (a: number, b: number, same: number) => void): void => {
    for (let e = 0; e < edges.count; e++) {
      if (edges.starts[e + 1] - edges.starts[e] !== 2) continue;
      const h = edges.halfEdges[edges.starts[e]];
      const o = edges.halfEdges[edges.starts[e] + 1];
      visit((h / 3) | 0, (o / 3) | 0, triangles[h] === triangles[o] ? 1 : 0);
    }
  };
  each((a, b) => {
    starts[a + 1]++;
    starts[b + 1]++;
  });
  for (let t = 0; t < count; t++) starts[t + 1] += starts[t];
  const fill = starts.slice(0, count);
  const neighbours = new Uint32Array(starts[count]);
  const sameWay = new Uint8Array(starts[count]);
  each((a, b, same) => {
    sameWay[fill[a]] = same;
    neighbours[fill[a]++] = b;
    sameWay[fill[b]] = same;
    neighbours[fill[b]++] = a;
  });
  return { starts, neighbours, sameWay };
}

/** Turns bodies outwards. A closed shell inside another that faces outwards like it is left, and said: void or body? */
export function* turnOutward(state: MendState): Steps<void> {
  const { triangles } = state;
  const edges = listEdges(triangles, state.corners);
  yield 0.2;
  const labels = labelShells(triangles, edges);
  yield 0.4;
  const shells = describeShells(state.positions, triangles, labels);
  yield 0.8;
  // A sheet or a doubled skin encloses nothing, and rounding decides the sign.
  const inward = (shell: Shell): boolean => shell.signedVolumeMm3 < -1e-9 * shell.areaMm2 ** 1.5;
  const bodies = shells.filter((shell) => shell.depth === 0);
  const all = bodies.length > 0 && bodies.every(inward);
  const wrong = shells.map((shell) => all || (shell.depth === 0 && inward(shell)));
  const nested = shells.find((shell) => shell.depth % 2 === 1 && (all ? -1 : 1) * shell.signedVolumeMm3 > 0);
  let count = 0;
  for (let t = 0; t < labels.ofTriangle.length; t++) {
    const shell = labels.ofTriangle[t];
    if (shell === NO_SHELL || !wrong[shell]) continue;
    count++;
    const b = triangles[t * 3 + 1];
    triangles[t * 3 + 1] = triangles[t * 3 + 2];
    triangles[t * 3 + 2] = b;
  }
  const pieces = wrong.filter(Boolean).length;
  state.note(
    'turn-outward',
    count,
    `${pieces} pieces that faced inwards were turned outwards (${count} triangles).`,
    shells[wrong.indexOf(true)]?.where,
  );
  if (nested) {
    state.findings.push({
      code: 'nested-bodies',
      severity: 'warning',
      message:
        'A shell lies inside another and faces outwards too: a second body, or a void turned over. It was left as it is.',
      where: nested.where,
      remedy: 'If it is a body, join it to the other (a union); if it is a void, turn it.',
    });
  }
}
