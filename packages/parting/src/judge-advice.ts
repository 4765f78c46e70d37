/** What is said beside the candidates: the draws that are not shown and why, and what is wrong where none will do. */
import { formatShare, plainNumber, type Finding, type Vec3 } from '@oddside/core';
import { axialAngleDeg } from './find-own-axes.js';
import type { PartingCandidate } from './make-candidate.js';
import type { RejectedDraw } from './parting-advice.js';
import type { NoDrawProof } from './prove-no-draw.js';
import type { PartingScale } from './score-draw.js';
import type { RefusedDraw } from './show-candidates.js';
import type { TriedDraw } from './try-draw.js';

/** Rejected draws listed at most. */
const MOST_REJECTED = 12;

/** Draws that are not shown: first those refused, then those that lost, best first. */
export function rejectedOf(
  refused: readonly RefusedDraw[],
  tried: readonly TriedDraw[],
  refined: readonly TriedDraw[],
  candidates: readonly PartingCandidate[],
  scale: PartingScale,
  apartDeg: number,
): RejectedDraw[] {
  const rejected: RejectedDraw[] = refused.map(({ direction, points, what }) => {
    return { direction, points, reason: `It ${what}.` };
  });
  const lost = [...refined, ...tried.filter((draw) => draw.from !== 'even sampling')];
  for (const draw of [...lost].sort((a, b) => a.points - b.points)) {
    if (rejected.length >= MOST_REJECTED) break;
    if (rejected.some((kept) => axialAngleDeg(kept.direction, draw.direction) < 1)) continue;
    const twin = candidates.find((candidate) => axialAngleDeg(candidate.direction, draw.direction) < apartDeg);
    if (twin && axialAngleDeg(twin.direction, draw.direction) < 0.05) continue;
    const { direction, points } = draw;
    rejected.push({ direction, points, reason: whyLost(draw, twin, scale) });
  }
  return rejected;
}

function whyLost(draw: TriedDraw, twin: PartingCandidate | undefined, scale: PartingScale): string {
  if (draw.over > 0) return 'It goes against the limits or wishes, and others come nearer to them.';
  return twin
    ? `${plainNumber(axialAngleDeg(twin.direction, draw.direction), 2)}° from candidate ${twin.rank}, which is better.`
    : `Holds ${formatShare(draw.backDraftMm3 / scale.volumeMm3, 2)} of the pattern's volume, and a flat joint traps ${formatShare(draw.misfitMm3 / scale.volumeMm3, 2)} more.`;
}

/** What is wrong where no candidate leaves the sand. */
export function findingsOfHeld(proof: NoDrawProof | null, radiusDeg: number, wished: boolean): Finding[] {
  const remedy = 'Fill the held places, make a loose piece or a core for them, or mould in more than two parts.';
  if (proof?.proved) {
    return [{ code: 'no-draw-exists', severity: 'problem', message: proof.sentence, remedy }];
  }
  const radius = plainNumber(radiusDeg, 2);
  return [
    {
      code: 'no-clean-draw',
      severity: 'problem',
      message: `No draw${wished ? ' within the limits and wishes' : ''} was found that leaves the sand: each one looked at holds more than a smear. The search left no draw${wished ? ' it could take' : ''} more than ${radius}° from one that was tried; that is not a proof.`,
      remedy: wished ? `Ask for less, to see whether another way draws. ${remedy}` : remedy,
    },
  ];
}

/** What is wrong where limits and wishes leave no candidate: how much the nearest misses by. */
export function findingsOfNone(refused: readonly RefusedDraw[]): Finding[] {
  const say = (draw: Vec3): string => `(${draw.map((part) => part.toFixed(2)).join(', ')})`;
  const overLimits = refused.filter((draw) => !draw.marks && draw.over < Infinity);
  const nearest = overLimits.reduce<RefusedDraw | undefined>(
    (best, draw) => (best && best.over <= draw.over ? best : draw),
    undefined,
  );
  if (nearest) {
    return [
      {
        code: 'no-way-within-limits',
        severity: 'problem',
        message: `No way to lay the pattern was found within the limits. The nearest, drawn along ${say(nearest.direction)}, ${nearest.what}.`,
        remedy: 'Allow that much, or make the pattern smaller, or mould it in more parts.',
      },
    ];
  }
  const marked = refused.find((draw) => draw.marks);
  if (!marked) return [];
  return [
    {
      code: 'no-way-unmarked',
      severity: 'problem',
      message: `Every way that was found marks a face that must not be marked. The best, drawn along ${say(marked.direction)}, ${marked.what}.`,
      remedy: 'Say that the face may be marked and fettle it, or make the face smaller by naming its triangles.',
    },
  ];
}
