/** An interval for the volume of a surface that is open or inconsistent. */
import type { Bounds, Steps } from '@oddside/core';
import { columnVolume, type ColumnVolume } from './column-volume.js';

const COLUMNS = 256;
const COARSE = 144;
/** With more odd columns than this, many even ones must have missed the surface twice: they say nothing either. */
const MOST_ODD = 0.1;

/**
 * Columns along each axis count the inside off in pairs of crossings, whichever way faces point; columns with an odd
 * count could be full from end to end, or empty. Each axis gives an interval. What they agree on is taken; where they do
 * not agree (a tube open at both ends looks empty along itself), everything between the lowest and the highest is. Where
 * every axis has many odd columns, so much of the surface is missing that nothing but the box bounds the volume.
 */
export function* boundSteps(
  positions: Float64Array,
  triangles: Uint32Array,
  bounds: Bounds,
): Steps<{ readonly low: number; readonly high: number }> {
  const sides = bounds.max.map((high, i) => high - bounds.min[i]);
  const box = sides[0] * sides[1] * sides[2];
  const casts: [ColumnVolume, ColumnVolume][] = [];
  for (const axis of [0, 1, 2] as const) {
    const fine = columnVolume(positions, triangles, bounds, axis, COLUMNS);
    yield (2 * axis + 1) / 6;
    casts.push([fine, columnVolume(positions, triangles, bounds, axis, COARSE)]);
    yield (2 * axis + 2) / 6;
  }
  const intervals = casts.map(([fine, coarse]) => {
    // The error of sampling, from a second grid; never less than a thousandth.
    const slack =
      Math.abs(fine.byPairs - coarse.byPairs) + Math.abs(fine.unknown - coarse.unknown) + 1e-3 * fine.byPairs;
    return {
      low: Math.max(0, fine.byPairs - slack),
      high: Math.min(box, fine.byPairs + fine.unknown + slack),
      oddShare: fine.oddShare,
    };
  });
  if (Math.min(...intervals.map((interval) => interval.oddShare)) > MOST_ODD) return { low: 0, high: box };
  const low = Math.max(...intervals.map((interval) => interval.low));
  const high = Math.min(...intervals.map((interval) => interval.high));
  if (low <= high) return { low, high };
  return { low: Math.min(...intervals.map((i) => i.low)), high: Math.max(...intervals.map((i) => i.high)) };
}
