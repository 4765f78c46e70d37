/** From the draws a search has found to candidates: each looked at in full, the better way up, and refused where it must be. */
import {
  formatLength,
  orAborted,
  type Pacer,
  paceSteps,
  plainNumber,
  type Steps,
  type UnitSystem,
  type Vec3,
} from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import { assessDraw, type AssessDrawOptions, type DrawAssessment } from './assess-draw.js';
import type { CastScratch } from './cast-columns.js';
import { lengthAcross } from './cross-face.js';
import { describePassed } from './draw-limits.js';
import { estimateNoise } from './estimate-noise.js';
import { figureJoint, scoreJoint } from './figure-joint.js';
import type { OwnAxis } from './find-own-axes.js';
import {
  candidateOf,
  judgeBothWays,
  preferOwnAxis,
  type JudgedDraw,
  type Judging,
  type PartingCandidate,
} from './make-candidate.js';
import { type HelpingThreads } from './open-threads.js';
import type { ReadyWishes } from './parting-wishes.js';
import type { TriedDraw } from './try-draw.js';

/** How to show them. */
export interface CandidateShow {
  readonly judging: Judging;
  readonly wishes: ReadyWishes;
  readonly axes: readonly OwnAxis[];
  readonly assess: AssessDrawOptions;
  /** Whether the line and joint are worked out. */
  readonly joints: boolean;
  /** How many are wanted. */
  readonly count: number;
  /** Threads that assess draws besides this one. */
  readonly threads: HelpingThreads | undefined;
}

/** A draw looked at in full and refused. */
export interface RefusedDraw {
  readonly direction: Vec3;
  readonly points: number;
  /** How far it passes the limits, as a share of the pattern; 0 where it was refused for a mark. */
  readonly over: number;
  readonly marks: boolean;
  /** What is wrong with it: words that follow a subject. */
  readonly what: string;
}

/** A mark on a face is one when it is longer than this share of the face's width (the root of its area). */
const MARK = 0.05;

/** Looks at draws in their order until there are as many candidates as are wanted. Progress runs from 0.9 to 1. */
export async function showCandidates(
  pattern: Pattern,
  found: readonly TriedDraw[],
  show: CandidateShow,
  scratch: CastScratch,
  pacer: Pacer,
  signal?: AbortSignal,
): Promise<{ shown: PartingCandidate[]; refused: RefusedDraw[] }> {
  const shown: PartingCandidate[] = [];
  const refused: RefusedDraw[] = [];
  const { judging, axes, count } = show;
  const withoutFlasks = { ...judging, flasks: null };
  const finish = makeFinish(pattern, show, scratch);
  const assessed = assessAhead(pattern, found.slice(0, count), show);
  const judge = (assessment: DrawAssessment, from: TriedDraw['from']): JudgedDraw => {
    return { ways: judgeBothWays(pattern, assessment, withoutFlasks), from };
  };
  const look = (direction: Vec3, from: TriedDraw['from']): JudgedDraw =>
    judge(assessDraw(pattern, direction, show.assess, scratch), from);
  for (const [i, draw] of found.entries()) {
    if (shown.length === count) break;
    const ahead = await orAborted(Promise.resolve(assessed[i]), signal);
    const at = (part: number): number => 0.9 + (0.1 * (shown.length + part)) / count;
    const first = ahead ? judge(ahead, draw.from) : look(draw.direction, draw.from);
    await pacer.step(at(0.2));
    const { ways, from } = await paceSteps(preferOwnAxis(first, axes, look), pacer, at(0.2), at(0.4));
    await pacer.step(at(0.4));
    const best = judging.flasks ? judgeBothWays(pattern, ways[0].assessment, judging) : ways;
    await pacer.step(at(0.5));
    const made = await paceSteps(finish({ ways: best, from }), pacer, at(0.5), at(0.9));
    if ('what' in made) refused.push(made);
    else shown.push(made);
    await pacer.step(at(0));
  }
  return { shown, refused };
}

/** What the threads assess while this one begins: of each few draws all but the first, because this one judges them all. */
function assessAhead(
  pattern: Pattern,
  draws: readonly TriedDraw[],
  { threads, assess }: CandidateShow,
): (Promise<DrawAssessment> | undefined)[] {
  return draws.map(({ direction }, i) => {
    if (!threads || i % (2 * threads.count + 1) === 0) return undefined;
    const asked = threads.ask({ kind: 'assess', key: threads.keyOf(pattern), direction, options: assess });
    asked.catch(() => undefined);
    return asked;
  });
}

/**
 * Makes what finishes a judged draw: its line and joint where they are wanted, and its refusal where limits or wishes ask for
 * it and `refuse` allows.
 */
export function makeFinish(
  pattern: Pattern,
  { judging, wishes, joints }: Pick<CandidateShow, 'judging' | 'wishes' | 'joints'>,
  scratch: CastScratch,
): (draw: JudgedDraw, refuse?: boolean) => Steps<PartingCandidate | RefusedDraw> {
  const { rules, show } = judging;
  const noise: { sigma?: number } = {};
  return function* ({ ways, from }, refuse = true) {
    const [way] = ways;
    const { assessment, points } = way;
    const no = (what: string, over: number, marks: boolean): RefusedDraw => {
      return { direction: assessment.direction, points, over, marks, what };
    };
    if (refuse && way.passed.length > 0) {
      const over = way.passed.reduce((sum, { share }) => sum + share, 0);
      return no(way.passed.map((passed) => describePassed(passed, show)).join('; it also '), over, false);
    }
    if (refuse && !way.allowed) return no('leans further than was wished for', Infinity, false);
    const minded = refuse ? wishes.unmarked : [];
    if (!joints && minded.length === 0) return candidateOf(ways, from, judging, null, []);
    const sigma = (noise.sigma ??= estimateNoise(pattern).sigma);
    yield 0.1;
    const { joint, line } = yield* figureJoint(pattern, assessment, sigma, scratch);
    const across = minded.map((face) => lengthAcross(pattern, line, face, wishes.nearest));
    const worst = across.findIndex((length, i) => length > MARK * Math.sqrt(minded[i].areaMm2));
    if (worst >= 0) return no(markWords(worst, across, show), 0, true);
    const ofJoint = joints ? scoreJoint(joint, rules.scale, rules.weights, show) : [];
    return candidateOf(ways, from, judging, joints ? joint : null, ofJoint);
  };
}

function markWords(which: number, across: readonly number[], show: UnitSystem): string {
  const name = across.length === 1 ? 'the face' : `the ${plainNumber(which + 1)}. of the faces`;
  return `parts ${formatLength(across[which], show)} across ${name} that must not be marked`;
}
