/** One way to lay and part the pattern, made from an assessed draw. */
import { dot, formatLength, plainNumber, scale as times, type Steps, type UnitSystem, type Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import type { DrawAssessment } from './assess-draw.js';
import { describeCandidate, type Verdict } from './describe-candidate.js';
import { limitsPassed, type LimitedFigures, type PassedLimit } from './draw-limits.js';
import { admitsDraw, type DrawRules } from './draw-rules.js';
import type { CandidateJoint } from './figure-joint.js';
import { axialAngleDeg, type OwnAxis } from './find-own-axes.js';
import { PARTING_WEIGHTS } from './parting-weights.js';
import { scoreDraw, type Criterion } from './score-draw.js';
import { scoreFlasks, type FlasksAtHand } from './score-flasks.js';
import { scoreSides } from './score-sides.js';
import type { TriedDraw } from './try-draw.js';
import { layWithin, reachOf, turnOver } from './turn-over.js';

/** One way to lay and part the pattern. */
export interface PartingCandidate {
  /** 1 is the best. */
  readonly rank: number;
  readonly direction: Vec3;
  readonly assessment: DrawAssessment;
  readonly verdict: Verdict;
  /** Sum of the criteria's points; less is better. */
  readonly points: number;
  readonly criteria: readonly Criterion[];
  /** True where no other candidate is at least as good in every criterion and better in one. */
  readonly unbeaten: boolean;
  /** Where the direction came from. */
  readonly from: OwnAxis['from'] | 'even sampling';
  /** Why it stands where it stands, in words. */
  readonly reason: string;
  /** What turning it over would change; of the two ways up the better one is the candidate. */
  readonly otherWayUp: OtherWayUp;
  /** Its line and joint in figures; `null` where they were not asked for. */
  readonly joint: CandidateJoint | null;
}

/** The same draw with cope and drag exchanged. */
export interface OtherWayUp {
  readonly copeDepth: number;
  readonly dragDepth: number;
  /** Points it would have. */
  readonly points: number;
  /** False where limits or wishes rule it out. */
  readonly allowed: boolean;
  /** One sentence: what stands where, and why this side is up. */
  readonly sentence: string;
}

/** What candidates are judged by. */
export interface Judging {
  readonly rules: DrawRules;
  readonly show: UnitSystem;
  readonly flasks: FlasksAtHand | null;
}

/** One of the two ways up. */
export interface WayUp {
  readonly assessment: DrawAssessment;
  readonly criteria: readonly Criterion[];
  readonly points: number;
  readonly passed: readonly PassedLimit[];
  readonly allowed: boolean;
}

/** Judges a draw one way up by everything but its line. */
export function judgeWayUp(pattern: Pattern, assessment: DrawAssessment, judging: Judging): WayUp {
  const { rules, show, flasks } = judging;
  const { scale, weights } = rules;
  const { lowest, highest } = reachOf(assessment);
  const criteria = [
    ...scoreDraw(assessment, scale, weights, show),
    ...(flasks ? [scoreFlasks(pattern, assessment, flasks, weights, show)] : []),
    ...scoreSides(rules.sides, assessment.direction, lowest, highest, weights, show),
  ];
  const passed = limitsPassed(limitedOf(assessment), rules.limits, scale);
  const allowed = passed.length === 0 && admitsDraw(rules.cones, assessment.direction);
  return { assessment, criteria, points: pointsIn(criteria), passed, allowed };
}

/** Points by which the other way up must be better: less is rounding, and must not choose. */
const ROUNDING = 1e-9;

/** Judges both ways up and puts the better first; `keep`: the way the draw was given. */
export function judgeBothWays(
  pattern: Pattern,
  assessment: DrawAssessment,
  judging: Judging,
  keep = false,
): readonly [WayUp, WayUp] {
  const { limits } = judging.rules;
  const given = judgeWayUp(pattern, layWithin(assessment, limits), judging);
  const turned = judgeWayUp(pattern, turnOver(assessment, limits), judging);
  const rank = (way: WayUp): number => (way.allowed ? 0 : 1);
  const wished = (way: WayUp): number => (admitsDraw(judging.rules.cones, way.assessment.direction) ? 0 : 1);
  const order = rank(turned) - rank(given) || wished(turned) - wished(given) || turned.points + ROUNDING - given.points;
  return order < 0 && !keep ? [turned, given] : [given, turned];
}

/** The figures of an assessment that limits are held against. */
export function limitedOf(assessment: DrawAssessment): LimitedFigures {
  const { copeDepth, dragDepth, shadowAreaMm2, backDraftMm3, flat } = assessment;
  return { copeDepth, dragDepth, projectedAreaMm2: shadowAreaMm2, backDraftMm3, flatMisfitMm3: flat.misfitMm3 };
}

/** Makes a candidate, of rank 0 until it is ranked, from the way up that is kept, the other, and what the line adds. */
export function candidateOf(
  [way, other]: readonly [WayUp, WayUp],
  from: PartingCandidate['from'],
  judging: Judging,
  joint: CandidateJoint | null,
  ofJoint: readonly Criterion[],
): PartingCandidate {
  const { assessment } = way;
  const order = Object.keys(PARTING_WEIGHTS);
  const criteria = [...way.criteria, ...ofJoint].sort((a, b) => order.indexOf(a.id) - order.indexOf(b.id));
  const { verdict, reason } = describeCandidate(assessment, criteria, judging.rules.scale.volumeMm3, judging.show);
  return {
    rank: 0,
    direction: assessment.direction,
    assessment,
    verdict,
    points: pointsIn(criteria),
    criteria,
    unbeaten: true,
    from,
    reason,
    otherWayUp: {
      copeDepth: other.assessment.copeDepth,
      dragDepth: other.assessment.dragDepth,
      points: other.points + pointsIn(ofJoint),
      allowed: other.allowed,
      sentence: compareWaysUp(way, other, judging.show),
    },
    joint,
  };
}

const pointsIn = (criteria: readonly Criterion[]): number => criteria.reduce((sum, { points }) => sum + points, 0);

/** Less than this between the two ways up is nothing to choose by. */
const EQUAL = 5e-4;

function compareWaysUp(way: WayUp, other: WayUp, show: UnitSystem): string {
  const depths = ({ assessment }: WayUp): string =>
    `${formatLength(assessment.copeDepth, show)} in the cope and ${formatLength(assessment.dragDepth, show)} in the drag`;
  const lead = `This way up ${depths(way)}; turned over ${depths(other)}`;
  if (!other.allowed) return `${lead}, which limits or wishes rule out.`;
  const more = other.points - way.points;
  if (Math.abs(more) < EQUAL) return `${lead}. Either will do.`;
  const gains = other.criteria.map(({ label, points }, i) => ({ label, more: points - way.criteria[i].points }));
  const most = gains.reduce((a, b) => (Math.sign(more) * b.more > Math.sign(more) * a.more ? b : a));
  return `${lead}, ${plainNumber(Math.abs(more), 2)} points ${more > 0 ? 'worse' : 'better'}, mostly for: ${most.label}.`;
}

/** An own axis this near a refined draw is tried in its place, degrees. */
const OWN_AXIS_NEAR_DEG = 3;
/** … and taken when it costs no more than this share extra: less than the sampling of a cast can tell apart. */
const OWN_AXIS_SLACK = 0.01;

/** A draw judged both ways up, and where it came from. */
export interface JudgedDraw {
  readonly ways: readonly [WayUp, WayUp];
  readonly from: TriedDraw['from'];
}

/**
 * Exchanges a refined draw for an axis of the pattern's own beside it, unless that is worse than sampling can tell. The
 * search stops a fraction of a degree off a valley's floor; the own axis is the floor, and a founder can find it.
 */
export function* preferOwnAxis(
  found: JudgedDraw,
  axes: readonly OwnAxis[],
  assess: (direction: Vec3, from: TriedDraw['from']) => JudgedDraw,
): Steps<JudgedDraw> {
  const { direction } = found.ways[0].assessment;
  let best = found;
  let bar = found.ways[0].points * (1 + OWN_AXIS_SLACK);
  for (const [i, axis] of axes.entries()) {
    if (axialAngleDeg(axis.direction, direction) > OWN_AXIS_NEAR_DEG) continue;
    yield i / axes.length;
    const up = dot(axis.direction, direction) > 0 ? axis.direction : times(axis.direction, -1);
    const draw = assess(up, axis.from);
    const [way] = draw.ways;
    if (way.points <= bar && (way.allowed || !best.ways[0].allowed)) {
      best = draw;
      bar = way.points;
    }
  }
  return best;
}

/** Ranks candidates, fewest points first, and marks those that no other beats in every criterion. */
export function ranked(shown: readonly PartingCandidate[]): PartingCandidate[] {
  return [...shown]
    .sort((a, b) => a.points - b.points)
    .map((candidate, i) => ({ ...candidate, rank: i + 1, unbeaten: !shown.some((other) => beats(other, candidate)) }));
}

function beats(one: PartingCandidate, other: PartingCandidate): boolean {
  const shares = one.criteria.map(({ share }, i) => share - other.criteria[i].share);
  return shares.every((difference) => difference <= 0) && shares.some((difference) => difference < 0);
}
