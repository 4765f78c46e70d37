/**
 * How many mould parts a pattern needs when they are stacked along the draw with flat joints and the pattern is split at
 * each. A part leaves its piece of pattern when the piece's sections only grow or only shrink upwards. A piece of such a
 * piece is such a piece too, so the fewest parts come from taking the longest growing piece from below for the drag, the
 * longest shrinking one from above for the cope, and between them the longest each time for the cheeks (geometry of
 * two-part moulds, cheeks; derived).
 */
import { checkNumber, dot, formatLength, resolveOptions, type Finding, type Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import { castColumns } from './cast-columns.js';
import type { ColumnField } from './column-field.js';
import { listIntervals, type ColumnIntervals } from './list-intervals.js';
import { sumColumns } from './measure-columns.js';

/** What {@link countFlasks} takes. */
export interface CountFlasksOptions {
  /** Columns across the longer side of the shadow's box, 2–2048. Default 128. */
  readonly columns: number;
  /** Heights at which sections are compared, 2–4096. Default 256. */
  readonly levels: number;
  /**
   * Area of section each part may have going the wrong way, mm², before it is split. Default: a five-hundredth of the
   * shadow, because the facets of a round surface already make it waver by about that.
   */
  readonly slackMm2: number | undefined;
}

/** Defaults of {@link countFlasks}. */
export const COUNT_FLASKS_DEFAULTS: CountFlasksOptions = Object.freeze({
  columns: 128,
  levels: 256,
  slackMm2: undefined,
});

/** Share of the shadow that may go the wrong way where no slack is given. */
const SLACK_SHARE = 0.002;

/** One part of the stack. */
export interface FlaskPart {
  readonly role: 'drag' | 'cheek' | 'cope';
  /** Heights of its joints, or of the pattern's end, mm along the draw from the file's origin. */
  readonly low: number;
  readonly high: number;
  /** Which way its piece of pattern leaves it. */
  readonly draws: 'up' | 'down' | 'either';
}

/** A stack of mould parts, lowest first. */
export interface FlaskStack {
  /** Number of parts, drag and cope included; at least 2. */
  readonly count: number;
  readonly parts: readonly FlaskPart[];
  /** True where the whole pattern lies in the drag and the cope is left flat (an open mould would do). */
  readonly flatBacked: boolean;
  /** Joints are right to within this height, mm; what is thinner may have been missed. */
  readonly resolution: number;
  readonly column: number;
  readonly reliable: boolean;
  readonly findings: readonly Finding[];
}

/**
 * Counts the parts of the smallest stack.
 *
 * @returns The stack. Deterministic. Cost: about one cast and 20 ns a column crossing.
 * @throws OddsideError `bad-direction`, `bad-option`, `bad-number`.
 */
export function countFlasks(pattern: Pattern, direction: Vec3, options?: Partial<CountFlasksOptions>): FlaskStack {
  const { columns, levels, slackMm2 } = resolveOptions('countFlasks', COUNT_FLASKS_DEFAULTS, options);
  checkNumber('columns', columns, { min: 2, max: 2048, whole: true });
  checkNumber('levels', levels, { min: 2, max: 4096, whole: true });
  if (slackMm2 !== undefined) checkNumber('slackMm2 (mm²)', slackMm2, { min: 0 });
  const field = castColumns(pattern, direction, columns);
  const steps = compareSections(listIntervals(pattern, field), field, levels);
  const sums = sumColumns(field);
  const slack = slackMm2 ?? SLACK_SHARE * sums.shadowAreaMm2;
  const pieces = splitStack(steps, levels, slack / (field.column * field.column));
  const base = dot(field.origin, field.direction);
  const step = (field.highest - field.lowest) / levels;
  const parts = pieces.map((piece, i): FlaskPart => ({
    role: i === 0 ? 'drag' : i === pieces.length - 1 ? 'cope' : 'cheek',
    low: base + field.lowest + piece.from * step,
    high: base + field.lowest + piece.to * step,
    draws: piece.grows && piece.shrinks ? 'either' : piece.grows ? 'up' : 'down',
  }));
  const findings: Finding[] = [];
  if (sums.unbalancedColumns > 0) {
    findings.push({
      code: 'unbalanced-columns',
      severity: 'warning',
      message: `The surface is open or inconsistent in ${sums.unbalancedColumns} columns of ${formatLength(field.column)}; the number of parts can be wrong.`,
      remedy: 'Close the holes of the pattern, then count again.',
    });
  }
  const flatBacked = pieces.length === 2 && pieces[0].to === levels;
  return {
    count: parts.length,
    parts,
    flatBacked,
    resolution: step,
    column: field.column,
    reliable: findings.length === 0,
    findings,
  };
}

/** Columns of metal that each section loses and gains against the one below it. */
interface SectionSteps {
  readonly lost: Float64Array;
  readonly gained: Float64Array;
}

function compareSections(intervals: ColumnIntervals, field: ColumnField, levels: number): SectionSteps {
  const { starts, lows, highs } = intervals;
  const step = (field.highest - field.lowest) / levels;
  const lost = new Float64Array(levels);
  const gained = new Float64Array(levels);
  // Sections are taken in the middle of each level, where no face of a modelled pattern is likely to lie.
  const levelAbove = (height: number): number =>
    Math.max(0, Math.min(levels, Math.ceil((height - field.lowest) / step - 0.5)));
  for (let c = 0; c + 1 < starts.length; c++) {
    let open = -1;
    let end = -1;
    const close = (): void => {
      if (open < 0) return;
      if (open > 0) gained[open]++;
      if (end < levels) lost[end]++;
    };
    for (let i = starts[c]; i < starts[c + 1]; i++) {
      const from = levelAbove(lows[i]);
      const to = levelAbove(highs[i]);
      if (to <= from) continue;
      if (open >= 0 && from === end) {
        end = to;
        continue;
      }
      close();
      open = from;
      end = to;
    }
    close();
  }
  return { lost, gained };
}

/** A piece of the stack: levels `from` up to, not including, `to`, and which ways its sections go. */
interface Piece {
  readonly from: number;
  readonly to: number;
  readonly grows: boolean;
  readonly shrinks: boolean;
}

function splitStack({ lost, gained }: SectionSteps, levels: number, slack: number): Piece[] {
  // lost[k] and gained[k] compare level k with level k − 1.
  const reach = (from: number, wrong: Float64Array): number => {
    let sum = 0;
    let to = from + 1;
    while (to < levels && (sum += wrong[to]) <= slack) to++;
    return to;
  };
  const reachDown = (to: number, wrong: Float64Array): number => {
    let sum = 0;
    let from = to - 1;
    while (from > 0 && (sum += wrong[from]) <= slack) from--;
    return from;
  };
  const ways = (from: number, to: number): Pick<Piece, 'grows' | 'shrinks'> => ({
    grows: reach(from, lost) >= to,
    shrinks: reach(from, gained) >= to,
  });
  const dragTo = reach(0, lost);
  const copeFrom = reachDown(levels, gained);
  if (dragTo >= levels) {
    return [
      { from: 0, to: levels, ...ways(0, levels) },
      { from: levels, to: levels, grows: true, shrinks: true },
    ];
  }
  if (copeFrom <= dragTo) {
    const at = bestSplit(copeFrom, dragTo, lost, gained);
    return [
      { from: 0, to: at, ...ways(0, at) },
      { from: at, to: levels, ...ways(at, levels) },
    ];
  }
  const pieces: Piece[] = [{ from: 0, to: dragTo, ...ways(0, dragTo) }];
  for (let from = dragTo; from < copeFrom;) {
    const to = Math.min(copeFrom, Math.max(reach(from, lost), reach(from, gained)));
    pieces.push({ from, to, ...ways(from, to) });
    from = to;
  }
  pieces.push({ from: copeFrom, to: levels, ...ways(copeFrom, levels) });
  return pieces;
}

/** Of the levels at which two parts can meet, the one with least going the wrong way; the middle of equally good ones. */
function bestSplit(from: number, to: number, lost: Float64Array, gained: Float64Array): number {
  let wrong = 0;
  for (let k = from + 1; k < gained.length; k++) wrong += gained[k];
  let least = wrong;
  let [first, last] = [from, from];
  for (let at = from + 1; at <= to; at++) {
    wrong += lost[at - 1] - (at < gained.length ? gained[at] : 0);
    if (wrong < least) [least, first] = [wrong, at];
    if (wrong <= least) last = at;
  }
  return Math.max(1, Math.round((first + last) / 2));
}
