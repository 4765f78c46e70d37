/** What can be done about held sand place by place: a loose piece, a core, filling. */
import { formatArea, formatLength, formatVolume, partOfSteps, type Steps } from '@oddside/core';
import { loosePieceSteps, type LooseSlide } from './check-loose-piece.js';
import { CELL_BOTTOM, CELL_STRIDE, CELL_TOP } from './column-field.js';
import type { HeldField, HeldRegion } from './find-held-regions.js';
import { samplingError } from './measure-columns.js';
import { FREE, type Remedy } from './remedy.js';

/** Regions smaller than this share of the pattern are filled or eased, not cored (common practice, no source). */
const WORTH_A_PIECE = 0.001;

/** What is asked of the regions. */
export interface RegionTask {
  /** Regions looked at one by one, largest first. */
  readonly regions: number;
  /** Volume of the pattern, and what counts as nothing, mm³. */
  readonly solidMm3: number;
  readonly nothing: number;
  /** Sand a joint flat outside the pattern traps whatever is done here, mm³. */
  readonly rimMm3: number;
}

/** Loose pieces, cores and fillings, each in the order of the regions. */
export interface RegionRemedies {
  readonly pieces: readonly Remedy[];
  readonly cores: readonly Remedy[];
  readonly fills: readonly Remedy[];
}

/** Works them out. Cost: a pass over the gaps a region, and the tries of its slide. */
export function* regionSteps(held: HeldField, task: RegionTask): Steps<RegionRemedies> {
  const found = held.regions.filter((region) => region.volumeMm3 > task.nothing);
  const singles = found.slice(0, task.regions);
  const openings = openingsOf(held);
  const pieces: Remedy[] = [];
  const cores: Remedy[] = [];
  const fills: Remedy[] = [];
  for (const [i, region] of singles.entries()) {
    const left = leftWithout(held, (number) => number === region.number, task.rimMm3);
    const at = { region, ...left, where: region.where };
    const worth = region.volumeMm3 >= WORTH_A_PIECE * task.solidMm3;
    const tries = partOfSteps(loosePieceSteps(held, region.number), i / singles.length, (i + 1) / singles.length);
    const slide = worth ? yield* tries : null;
    if (slide) {
      const costs = { ...FREE, parts: 1 };
      pieces.push({ ...at, kind: 'loose-piece', costs, slide, sentence: sayLoose(region, slide) });
    }
    if (worth) {
      const costs = { sandMm3: region.volumeMm3, metalMm3: 0, parts: 1 };
      cores.push({ ...at, kind: 'core', costs, sentence: sayCore(region, openings[region.number]) });
    }
    const costs = { ...FREE, metalMm3: region.volumeMm3 };
    const sentence = `Fill this place: the casting gains ${formatVolume(region.volumeMm3)} of metal, to be cut away or left.`;
    fills.push({ ...at, kind: 'fill', costs, sentence });
    yield (i + 1) / singles.length;
  }
  const rest = found.slice(singles.length);
  if (rest.length > 0) {
    const metalMm3 = rest.reduce((sum, region) => sum + region.volumeMm3, 0);
    fills.push({
      kind: 'fill',
      region: null,
      costs: { ...FREE, metalMm3 },
      ...leftWithout(held, (number) => number >= rest[0].number, task.rimMm3),
      where: rest[0].where,
      sentence: `Fill the ${rest.length} smaller place${rest.length > 1 ? 's' : ''}: ${formatVolume(metalMm3)} of metal in all.`,
    });
  }
  return { pieces, cores, fills };
}

/** What the columns still hold when some regions are freed or filled. */
function leftWithout(
  { field, gapColumn, gapLow, gapHigh, gapRegion }: HeldField,
  gone: (region: number) => boolean,
  rimMm3: number,
): { leftMm3: number; leftErrorMm3: number } {
  const lengths = new Float64Array(field.nu * field.nv);
  let sum = 0;
  for (let g = 0; g < gapColumn.length; g++) {
    if (gone(gapRegion[g])) continue;
    const gap = gapHigh[g] - gapLow[g];
    lengths[gapColumn[g]] += gap;
    sum += gap;
  }
  const area = field.column * field.column;
  return { leftMm3: sum * area + rimMm3, leftErrorMm3: samplingError(lengths, field.nu, field.nv, area) };
}

/** Area through which each region opens sideways to sand that is free, mm²: where a core's prints can be. */
function openingsOf({ field, regions, gapColumn, gapLow, gapHigh, gapRegion }: HeldField): Float64Array {
  const { cells, nu, nv, column } = field;
  const areas = new Float64Array(regions.length);
  for (let g = 0; g < gapColumn.length; g++) {
    const c = gapColumn[g];
    const x = c % nu;
    const beside = [x > 0 ? c - 1 : -1, x + 1 < nu ? c + 1 : -1, c - nu, c + nu < nu * nv ? c + nu : -1];
    for (const p of beside) {
      const hit = p >= 0 && cells[p * CELL_STRIDE + CELL_TOP] !== -Infinity;
      const [bottom, top] = hit
        ? [cells[p * CELL_STRIDE + CELL_BOTTOM], cells[p * CELL_STRIDE + CELL_TOP]]
        : [Infinity, -Infinity];
      const shut = Math.max(0, Math.min(gapHigh[g], top) - Math.max(gapLow[g], bottom));
      areas[gapRegion[g]] += (gapHigh[g] - gapLow[g] - shut) * column;
    }
  }
  return areas;
}

function sayLoose(region: HeldRegion, slide: LooseSlide): string {
  const side =
    slide.piece === 'under'
      ? 'under the sand held here, left in the drag'
      : 'over the sand held here, left in the cope';
  return `Make the metal ${side}, a loose piece of ${formatVolume(slide.pieceMm3)}: drawn after the rest, it slides ${formatLength(slide.distance)} sideways into the room they left, and ${formatVolume(region.volumeMm3)} comes free.`;
}

function sayCore(region: HeldRegion, openMm2: number): string {
  const core = `Make the ${formatVolume(region.volumeMm3)} held here as a core`;
  if (openMm2 > 0) return `${core}, with prints to hold it in its opening of ${formatArea(openMm2, 'metric', 2)}.`;
  return `${core}: it is shut in on all sides, so chaplets must hold it and a hole must be made to get its sand out.`;
}
