/** The smallest stack of mould parts read off columns: see `countFlasks`. */
import { dot, formatLength, type Finding } from '@oddside/core';
import type { ColumnField } from './column-field.js';
import type { FlaskPart, FlaskStack } from './flask-stack.js';
import type { ColumnIntervals } from './list-intervals.js';
import { sumColumns } from './measure-columns.js';

/** Share of the shadow that may go the wrong way where no slack is given. */
const SLACK_SHARE = 0.002;

/** Splits a pattern into the fewest parts. Cost: about 20 ns a column crossing. */
export function stackParts(
  field: ColumnField,
  intervals: ColumnIntervals,
  levels: number,
  slackMm2: number | undefined,
): FlaskStack {
  const steps = compareSections(intervals, field, levels);
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

/**
 * Sand that a stack still holds, mm³: in a part that is drawn upwards what lies over metal of the same part, in one drawn
 * downwards what lies under it. What lies within the joints' resolution is not looked at.
 */
export function heldInStack(stack: FlaskStack, field: ColumnField, { starts, lows, highs }: ColumnIntervals): number {
  const base = dot(field.origin, field.direction);
  let sum = 0;
  for (const part of stack.parts) {
    const from = part.low - base + (part.role === 'drag' ? 0 : stack.resolution);
    const to = part.high - base - (part.role === 'cope' ? 0 : stack.resolution);
    let [over, under] = [0, 0];
    for (let c = 0; c + 1 < starts.length; c++) {
      let metal = 0;
      let [first, last] = [to, from];
      for (let i = starts[c]; i < starts[c + 1]; i++) {
        const [low, high] = [Math.max(from, lows[i]), Math.min(to, highs[i])];
        if (high <= low) continue;
        metal += high - low;
        first = Math.min(first, low);
        last = Math.max(last, high);
      }
      if (metal === 0) continue;
      over += to - first - metal;
      under += last - from - metal;
    }
    sum += part.draws === 'up' ? over : part.draws === 'down' ? under : Math.min(over, under);
  }
  return sum * field.column * field.column;
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
