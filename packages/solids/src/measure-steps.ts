/** How steep the walls of a follow board's own steps stand: what the half rammed on it must lift off. */
import { formatArea, formatLength, plainNumber, radians, type Finding, type Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import { outOfFrame, type DrawFrame, type FramedMesh } from './draw-frame.js';
import { middleOf, slopeOf, type FaceSlope } from './face-slope.js';
import type { FramedJoint } from './frame-joint.js';
import { wallsOffPattern } from './nest-walls.js';

/** Walls of a board that stand steeper than was asked for, side by side. */
export interface SteepStep {
  /** Its middle, mm in the pattern's coordinates. */
  readonly where: Vec3;
  readonly areaMm2: number;
  /** Least draft in it, degrees. */
  readonly draftDeg: number;
  /** How much it rises along the draw, mm. */
  readonly rise: number;
  /** `joint`: a step of the joint. `nest`: a wall of the nest that stands off the pattern, because what the joint tears is filled. */
  readonly of: 'joint' | 'nest';
}

/** The walls of a board's own steps. */
export interface BoardSteps {
  /** Least draft of the board's face and of nest walls that stand off the pattern, degrees from the draw; 90 where all lies level. */
  readonly leastDraftDeg: number;
  /** Of walls with less than `stepDraftDeg`, and how far that can be off, mm²: where a nest wall leaves the pattern is sought in steps. */
  readonly shortAreaMm2: number;
  readonly shortAreaErrorMm2: number;
  /** Those walls, largest first, at most 20. */
  readonly places: readonly SteepStep[];
}

/** What a board's steps are measured against. */
export interface StepsTask {
  readonly frame: DrawFrame;
  readonly pattern: Pattern;
  readonly joint: FramedJoint;
  /** Steps with less are told, degrees. */
  readonly draftDeg: number;
  /** Taper of the board's sides, degrees: those are no steps. */
  readonly wallDraftDeg: number;
  /** Nest walls farther than this from the pattern are the board's own, mm. `null`: none is looked for. */
  readonly reach: number | null;
}

const MOST_PLACES = 20;
/** Faces within so much of the draft have it, degrees. */
const SLACK_DEG = 0.01;

/** A face, or the part of it that counts. */
interface ShortFace {
  readonly sine: number;
  readonly area: number;
  readonly of: SteepStep['of'];
}

/**
 * Measures the board: a mesh in the frame, whose face looks down the draw.
 *
 * Cost: a pass over its faces; where nest walls are looked for, some µs for each that stands too steep.
 */
export function measureSteps(mesh: FramedMesh, task: StepsTask): BoardSteps {
  const short = new Map<number, ShortFace>();
  const walls: number[] = [];
  let least = 1;
  const most = Math.sin(radians(Math.max(0, task.draftDeg - SLACK_DEG)));
  for (let t = 0; t < mesh.triangles.length / 3; t++) {
    const slope = slopeOf(mesh, t);
    const { sine, area } = slope;
    if (area === 0) continue;
    if (sine > 0 && onJoint(mesh, t, slope, task.joint)) {
      least = Math.min(least, sine);
      if (sine < most) short.set(t, { sine, area, of: 'joint' });
    } else if (task.reach !== null && Math.abs(sine) < most && !atSide(mesh, t, task.wallDraftDeg)) walls.push(t);
  }
  let shortAreaErrorMm2 = 0;
  if (task.reach !== null && walls.length > 0) {
    const off = wallsOffPattern(mesh, walls, task.frame, task.pattern, task.reach);
    shortAreaErrorMm2 = off.errorMm2;
    for (const [t, area] of off.areas) {
      const sine = Math.max(0, slopeOf(mesh, t).sine);
      least = Math.min(least, sine);
      short.set(t, { sine, area, of: 'nest' });
    }
  }
  const places = placesOf(mesh, short, task.frame);
  return {
    leastDraftDeg: degreesOf(least),
    shortAreaMm2: places.reduce((sum, { areaMm2 }) => sum + areaMm2, 0),
    shortAreaErrorMm2,
    places: places.slice(0, MOST_PLACES),
  };
}

const degreesOf = (sine: number): number => (Math.asin(Math.min(1, sine)) * 180) / Math.PI;

/** Does a face that looks down lie on the joint, and as steep as it? */
function onJoint(mesh: FramedMesh, t: number, { rise: [dx, dy], room }: FaceSlope, joint: FramedJoint): boolean {
  const [x, y, z] = middleOf(mesh, t);
  const slope = Math.hypot(dx, dy);
  const rounded = 64 * mesh.rounding * (1 + slope);
  const here = joint.heightAt(x, y);
  if (Math.abs(z - here) > rounded) return false;
  if (slope === 0) return true;
  // Upright to within rounding it is a wall: a step of the joint is as wide as a column of it.
  if (room < 1e3 * mesh.rounding) return false;
  const farther = joint.heightAt(x + (room * dx) / slope, y + (room * dy) / slope);
  return Math.abs(farther - here - slope * room) <= 0.01 * slope * room + 2 * rounded;
}

/** Is a face one of the board's sides, which draw in from its back? */
function atSide(mesh: FramedMesh, t: number, wallDraftDeg: number): boolean {
  const { min, max } = mesh.box;
  const [x, y, z] = middleOf(mesh, t);
  const inward = Math.min(x - min[0], y - min[1], max[0] - x, max[1] - y);
  return Math.abs(inward - (max[2] - z) * Math.tan(radians(wallDraftDeg))) <= 1e-4 * (max[0] - min[0]);
}

/** Short faces that share an edge are one place. */
function placesOf(mesh: FramedMesh, short: ReadonlyMap<number, ShortFace>, frame: DrawFrame): SteepStep[] {
  const { points: p, triangles } = mesh;
  const across = new Map<string, number>();
  const leader = new Map<number, number>();
  const leaderOf = (t: number): number => {
    let at = t;
    while (leader.get(at) !== at) at = leader.get(at)!;
    return at;
  };
  for (const [t, { of }] of short) {
    leader.set(t, t);
    for (let n = 0; n < 3; n++) {
      const [a, b] = [triangles[3 * t + n], triangles[3 * t + ((n + 1) % 3)]];
      const key = a < b ? `${a} ${b}` : `${b} ${a}`;
      const other = across.get(key);
      if (other === undefined) across.set(key, t);
      else if (short.get(other)!.of === of) leader.set(leaderOf(t), leaderOf(other));
    }
  }
  const groups = new Map<number, number[]>();
  for (const t of short.keys()) {
    const first = leaderOf(t);
    const group = groups.get(first);
    if (group) group.push(t);
    else groups.set(first, [t]);
  }
  return [...groups.values()]
    .map((faces): SteepStep => {
      let [areaMm2, least, low, high] = [0, 1, Infinity, -Infinity];
      const middle: [number, number, number] = [0, 0, 0];
      for (const t of faces) {
        const { sine, area } = short.get(t)!;
        const at = middleOf(mesh, t);
        for (let k = 0; k < 3; k++) {
          middle[k] += area * at[k];
          const z = p[3 * triangles[3 * t + k] + 2];
          [low, high] = [Math.min(low, z), Math.max(high, z)];
        }
        areaMm2 += area;
        least = Math.min(least, sine);
      }
      const where = outOfFrame(frame, middle[0] / areaMm2, middle[1] / areaMm2, middle[2] / areaMm2);
      return { where, areaMm2, draftDeg: degreesOf(least), rise: high - low, of: short.get(faces[0])!.of };
    })
    .sort((a, b) => b.areaMm2 - a.areaMm2);
}

/** A finding for steps of the joint that stand too steep, and one for walls of the nest. */
export function stepFindings({ places, shortAreaErrorMm2 }: BoardSteps, draftDeg: number): Finding[] {
  return (['joint', 'nest'] as const).flatMap((of): Finding[] => {
    const own = places.filter((place) => place.of === of);
    if (own.length === 0) return [];
    const area = own.reduce((sum, place) => sum + place.areaMm2, 0);
    const room = of === 'nest' ? ` give or take ${formatArea(shortAreaErrorMm2, 'metric', 2)}` : '';
    const [least, most] = [Math.min(...own.map((s) => s.draftDeg)), Math.max(...own.map((s) => s.rise))];
    const many = own.length === 1 ? 'one place' : `${own.length} places`;
    const measured = `${formatArea(area)}${room} at ${many}, up to ${formatLength(most)} high, with a draft of ${least.toFixed(1)}° where ${plainNumber(draftDeg)}° is asked for`;
    const rest =
      of === 'joint'
        ? {
            code: 'steep-step',
            message: `Steps of the board’s face stand too steep to lift well off the sand: ${measured}. The joint has to meet the pattern there.`,
            remedy: 'Shape the joint with less slope, or ease these places by hand and rap the board well.',
          }
        : {
            code: 'nest-off-pattern',
            message: `Walls of the nest stand off the pattern, and sand will be rammed between: ${measured}. Along this joint the pattern would tear its sand there.`,
            remedy: 'Fill the pattern first (fillBackDraft or addDraft along this joint), or stop the gap with wax.',
          };
    return [{ ...rest, severity: 'warning', where: own[0].where }];
  });
}
