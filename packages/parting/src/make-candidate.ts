/** One way to lay and part the pattern, made from an assessed draw. */
import { dot, scale as times, type UnitSystem, type Vec3 } from '@oddside/core';
import type { DrawAssessment } from './assess-draw.js';
import { describeCandidate, type Verdict } from './describe-candidate.js';
import { axialAngleDeg, type OwnAxis } from './find-own-axes.js';
import type { PartingWeights } from './parting-weights.js';
import { scoreDraw, type Criterion, type PartingScale } from './score-draw.js';
import type { TriedDraw } from './try-draw.js';

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
}

/** An own axis this near a refined draw is tried in its place, degrees. */
const OWN_AXIS_NEAR_DEG = 3;
/** … and taken when it costs no more than this share extra: less than the sampling of a cast can tell apart. */
const OWN_AXIS_SLACK = 0.01;

/** Makes a candidate, of rank 0 until it is ranked. */
export function candidateOf(
  assessment: DrawAssessment,
  from: PartingCandidate['from'],
  scale: PartingScale,
  weights: PartingWeights,
  show: UnitSystem,
): PartingCandidate {
  const criteria = scoreDraw(assessment, scale, weights, show);
  const points = criteria.reduce((sum, criterion) => sum + criterion.points, 0);
  const { verdict, reason } = describeCandidate(assessment, criteria, scale.volumeMm3, show);
  return {
    rank: 0,
    direction: assessment.direction,
    assessment,
    verdict,
    points,
    criteria,
    unbeaten: true,
    from,
    reason,
  };
}

/**
 * Exchanges a refined draw for an axis of the pattern's own beside it, unless that is worse than sampling can tell. The
 * search stops a fraction of a degree off a valley's floor; the own axis is the floor, and a founder can find it.
 */
export function preferOwnAxis(
  found: PartingCandidate,
  axes: readonly OwnAxis[],
  assess: (direction: Vec3, from: TriedDraw['from']) => PartingCandidate,
): PartingCandidate {
  let best = found;
  let bar = found.points * (1 + OWN_AXIS_SLACK);
  for (const axis of axes) {
    if (axialAngleDeg(axis.direction, found.direction) > OWN_AXIS_NEAR_DEG) continue;
    const up = dot(axis.direction, found.direction) > 0 ? axis.direction : times(axis.direction, -1);
    const candidate = assess(up, axis.from);
    if (candidate.points <= bar) {
      best = candidate;
      bar = candidate.points;
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
