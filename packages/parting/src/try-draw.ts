/** One draw tried quickly: the figures a search compares, for the better of its two ways up. */
import { dot, scale as times, type Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import { castColumns, type CastScratch } from './cast-columns.js';
import { jointWithin, overLimits } from './draw-limits.js';
import { acrossFaces, admitsDraw, type DrawRules } from './draw-rules.js';
import type { OwnAxis } from './find-own-axes.js';
import { pointsOf } from './score-draw.js';
import { sideShares } from './which-side-up.js';

/** A draw as the search sees it. */
export interface TriedDraw {
  readonly direction: Vec3;
  readonly from: OwnAxis['from'] | 'even sampling';
  /** 0 within all limits and wishes, otherwise by how much it passes them. */
  readonly over: number;
  /** Points without the criteria that only candidates are charged: shallow draft, the line, digging, flasks. */
  readonly points: number;
  readonly backDraftMm3: number;
  readonly misfitMm3: number;
  /** Casts spent to find it. */
  readonly casts: number;
}

/** What comes first: what keeps within limits and wishes, and among those what costs the fewest points. */
export function drawOrder(a: Pick<TriedDraw, 'over' | 'points'>, b: Pick<TriedDraw, 'over' | 'points'>): number {
  return a.over - b.over || a.points - b.points;
}

/** A draw outside what was wished for is out by more than any limit can be passed. */
const UNWISHED = 1e3;
/** Points by which the other way up must be better: less is rounding, and must not choose. */
const ROUNDING = 1e-9;

/** Tries a draw and its opposite with one cast. */
export function tryDraw(
  pattern: Pattern,
  direction: Vec3,
  from: TriedDraw['from'],
  columns: number,
  rules: DrawRules,
  scratch: CastScratch,
): TriedDraw {
  const field = castColumns(pattern, direction, columns, scratch);
  const { sums, joint } = scratch.engine.tally(field);
  const seen: SeenDraw = {
    from,
    origin: field.origin,
    // Columns that cannot be read may hold anything: half of them is the guess that favours neither draw.
    backDraftMm3: sums.backDraftMm3 + sums.unknownMm3 / 2,
    misfitMm3: joint.misfitMm3,
    shadowAreaMm2: sums.shadowAreaMm2,
    across: acrossFaces(rules.unmarked, field.direction),
  };
  const { low, high } = joint;
  const up = judge(seen, rules, field.direction, low, high, field.lowest, field.highest);
  const down = judge(seen, rules, times(field.direction, -1), -high, -low, -field.highest, -field.lowest);
  return drawOrder({ over: down.over, points: down.points + ROUNDING }, up) < 0 ? down : up;
}

/** What a draw and its opposite have in common. */
interface SeenDraw {
  readonly from: TriedDraw['from'];
  readonly origin: Vec3;
  readonly backDraftMm3: number;
  readonly misfitMm3: number;
  readonly shadowAreaMm2: number;
  /** By how much the joint would cross faces that must stay unmarked. */
  readonly across: number;
}

/** One way up: the joint may lie from `low` to `high`, and the pattern reaches from `lowest` to `highest`. */
function judge(
  { from, origin, backDraftMm3, misfitMm3, shadowAreaMm2, across }: SeenDraw,
  { scale, weights, limits, sides, cones }: DrawRules,
  draw: Vec3,
  low: number,
  high: number,
  lowest: number,
  highest: number,
): TriedDraw {
  const height = jointWithin(low, high, lowest, highest, limits);
  const copeDepth = highest - height;
  const dragDepth = height - lowest;
  const base = dot(origin, draw);
  const shares = sideShares(sides, draw, lowest + base, highest + base);
  const points =
    pointsOf({ backDraftMm3, misfitMm3, copeDepth, dragDepth, shadowAreaMm2, shallowShare: 0 }, scale, weights) +
    weights.fineDetail * shares.fineDetail +
    weights.machined * shares.machined +
    weights.heavySection * shares.heavySection;
  const limited = { copeDepth, dragDepth, projectedAreaMm2: shadowAreaMm2, backDraftMm3, flatMisfitMm3: misfitMm3 };
  const over = overLimits(limited, limits, scale) + across + (admitsDraw(cones, draw) ? 0 : UNWISHED);
  return { direction: draw, from, over, points, backDraftMm3, misfitMm3, casts: 1 };
}
