/**
 * The metal that gives one side of a joint its draft, as exact solids.
 *
 * Draft on the cope's side means: no place of the pattern stands free of a cone that hangs from it, as wide as the draft.
 * The least such solid is what all those cones fill between their tips and the joint (the dilation of the top by a cone).
 * Over a face that has the draft already the cones stay in the metal, and a cone that leaves it does so inside the cone at
 * the edge where it leaves. So only the edges over faces that are too steep need theirs (see crest-edges.ts); the cones
 * under one edge fill the convex hull of the two at its ends.
 */
import { crestEdges } from './crest-edges.js';
import { outermostTips, withoutCovered, type Tip } from './cover-tips.js';
import { alongCurve } from './along-curve.js';
import type { FramedMesh } from './draw-frame.js';
import type { FramedJoint } from './frame-joint.js';
import type { Body } from './kernel.js';
import type { Scope } from './own-bodies.js';
import { solidOrNull } from './trap-sand.js';

/** Sides of a cone. Its faces touch the round one from outside, so that each has the full draft. */
const CONE_SIDES = 32;
/** How much wider than the round cone the many-sided one is at its corners. */
export const CONE_EXCESS: number = 1 / Math.cos(Math.PI / CONE_SIDES) - 1;
/** How far past a joint cones end, as a share of the pattern's height. */
const PAST = 0.01;
/** Hulls made one by one before they are united: few, so that each step is short. */
const BATCH = 32;

/**
 * The cones of one side as a body: cope (`way` 1) or drag (−1). `null` where every face has its draft.
 * The mesh must not trap sand along the joint: fill its back draft first.
 */
export async function coneHulls(
  scope: Scope,
  mesh: FramedMesh,
  joint: FramedJoint,
  tangent: number,
  way: 1 | -1,
  step: (share: number) => Promise<void>,
): Promise<Body | null> {
  const floor = floorOf(mesh, joint, tangent, way);
  const past = PAST * (mesh.box.max[2] - mesh.box.min[2]);
  const lists = crestTips(mesh, joint, tangent, way, floor).flatMap((tips) => {
    const end = endOf(tips, joint, tangent, way, floor, past);
    return end === null ? [] : [{ tips, end }];
  });
  // Neighbours are united first: what one holds of the other is then gone early.
  const order = alongCurve(lists.map(({ tips }) => tips[0]));
  const hullOf = ({ tips, end }: (typeof lists)[number]): Body =>
    scope.own(scope.kernel.Manifold.hull(tips.flatMap((tip) => conePoints(tip, end, tangent, way))));
  // Equal with equal, like carrying in sums, so that no union is much larger than it must be.
  const united: { body: Body; batches: number }[] = [];
  for (let k = 0; k < order.length; k += BATCH) {
    const hulls = Array.from(order.subarray(k, k + BATCH), (n) => hullOf(lists[n]));
    let last = { body: join(scope, hulls), batches: 1 };
    await step(k / order.length);
    while (united.length > 0 && united.at(-1)!.batches <= last.batches) {
      const { body, batches } = united.pop()!;
      last = { body: join(scope, [body, last.body]), batches: batches + last.batches };
      await step(k / order.length);
    }
    united.push(last);
  }
  while (united.length > 1) {
    const [a, b] = united.splice(-2);
    united.push({ body: join(scope, [a.body, b.body]), batches: a.batches + b.batches });
    await step(1);
  }
  if (united.length === 0) return null;
  const whole = united[0].body;
  const part = way === 1 ? joint.over(scope, whole) : joint.under(scope, whole);
  scope.free(whole);
  return solidOrNull(scope, part);
}

function join(scope: Scope, bodies: readonly Body[]): Body {
  const whole = scope.unite(bodies);
  for (const body of bodies) if (body !== whole) scope.free(body);
  return whole;
}

/**
 * The height at which all cones may end: at or past the joint wherever a cone can reach. Past a level one, because feet that
 * share its plane to the last bit do not come out level once steep cones have met in them; cut off together they do.
 */
function floorOf({ box }: FramedMesh, joint: FramedJoint, tangent: number, way: 1 | -1): number {
  if (joint.level !== null) return joint.level - way * PAST * (box.max[2] - box.min[2]);
  const farthest = way === 1 ? joint.lowestOver : joint.highestOver;
  const tall = box.max[2] - box.min[2];
  const { min, max } = box;
  let floor = farthest(min[0], min[1], max[0], max[1]);
  // A wider plan lowers a leaning joint, and that widens the plan: the slopes multiply to less than one, so it settles.
  for (let k = 0; k < 60; k++) {
    const reach = (tall + Math.max(0, way === 1 ? max[2] - floor : floor - min[2])) * tangent * (1 + CONE_EXCESS);
    const next = farthest(min[0] - reach, min[1] - reach, max[0] + reach, max[1] + reach);
    if (Math.abs(next - floor) <= 1e-6 * tall) break;
    floor = next;
  }
  return floor;
}

/** The tips from which cones must hang, edge by edge: those that do not hang inside the cone of another. */
function crestTips(mesh: FramedMesh, joint: FramedJoint, tangent: number, way: 1 | -1, floor: number): Tip[][] {
  const { points: p, triangles, box } = mesh;
  const tiny = 1e-7 * (box.max[2] - box.min[2]);
  const pastJoint = (t: number): boolean => {
    const face = [0, 1, 2].map((n) => cornerOf(p, triangles[3 * t + n]));
    const xs = face.map(([x]) => x);
    const ys = face.map(([, y]) => y);
    const plan = [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)] as const;
    const at = way === 1 ? joint.lowestOver(...plan) : -joint.highestOver(...plan);
    return Math.max(...face.map(([, , z]) => way * z)) > at + tiny;
  };
  const { edges, faces } = crestEdges(mesh, tangent, way, pastJoint);
  const seen = new Set<string>();
  const out: Tip[][] = [];
  const hang = (from: readonly Tip[]): void => {
    const tips = outermostTips(clipAt(from, floor, way), tangent, way);
    if (!tips.some(([, , z]) => way * (z - floor) > tiny)) return;
    // Many an edge goes up to one corner: its cone is made once.
    const key = tips
      .map((tip) => tip.join())
      .sort()
      .join(' ');
    if (seen.has(key)) return;
    seen.add(key);
    out.push(tips);
  };
  for (let k = 0; k < edges.length; k += 2) hang([cornerOf(p, edges[k]), cornerOf(p, edges[k + 1])]);
  for (const t of faces) hang([0, 1, 2].map((n) => cornerOf(p, triangles[3 * t + n])));
  return withoutCovered(out, tangent, way);
}

/** Rounds after which a cone over a falling joint is simply made as long as the longest. */
const ROUNDS = 8;

/**
 * The height at which the cones of one edge may end: on a joint that rises and falls most are short, and meet few others.
 * `null` where the edge lies past the joint.
 */
function endOf(
  tips: readonly Tip[],
  joint: FramedJoint,
  tangent: number,
  way: 1 | -1,
  floor: number,
  past: number,
): number | null {
  if (joint.level !== null) return floor;
  const [xs, ys] = [tips.map(([x]) => x), tips.map(([, y]) => y)];
  const [x0, y0, x1, y1] = [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
  const top = tips.reduce((most, [, , z]) => Math.max(most, way * z), -Infinity);
  const farthest = way === 1 ? joint.lowestOver : joint.highestOver;
  let reach = 0;
  for (let k = 0; k < ROUNDS; k++) {
    const at = way * farthest(x0 - reach, y0 - reach, x1 + reach, y1 + reach);
    const wide = Math.max(0, top - at) * tangent * (1 + CONE_EXCESS);
    if (wide === 0) return null;
    if (wide <= reach) return way * Math.max(way * floor, at - past);
    // Wider, it may meet the joint farther down, and so be wider again.
    reach = wide;
  }
  return floor;
}

const cornerOf = (p: Float32Array, n: number): Tip => [p[3 * n], p[3 * n + 1], p[3 * n + 2]];

/** The part of an edge or a face on the cones' side of the floor. */
function clipAt(face: readonly Tip[], floor: number, way: 1 | -1): Tip[] {
  const out: Tip[] = [];
  face.forEach((a, k) => {
    const b = face[(k + 1) % face.length];
    const [ha, hb] = [way * (a[2] - floor), way * (b[2] - floor)];
    if (ha >= 0) out.push(a);
    if (ha * hb >= 0) return;
    const s = ha / (ha - hb);
    out.push([a[0] + s * (b[0] - a[0]), a[1] + s * (b[1] - a[1]), floor]);
  });
  return out;
}

function conePoints([x, y, z]: Tip, floor: number, tangent: number, way: 1 | -1): Tip[] {
  const radius = Math.max(0, way * (z - floor)) * tangent * (1 + CONE_EXCESS);
  const out: Tip[] = [[x, y, z]];
  if (radius === 0) return out;
  for (let k = 0; k < CONE_SIDES; k++) {
    const turn = ((k + 0.5) * 2 * Math.PI) / CONE_SIDES;
    out.push([x + radius * Math.cos(turn), y + radius * Math.sin(turn), floor]);
  }
  return out;
}
