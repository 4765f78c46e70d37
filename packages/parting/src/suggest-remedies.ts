/**
 * What can be done where sand is held, cheapest kind first: turn the draw, move the joint, shape the joint, make a loose
 * piece, a core, a cheek, or fill the place. Each says what it costs and what is still held after it alone.
 */
import {
  checkNumber,
  formatLength,
  formatVolume,
  plainNumber,
  resolveOptions,
  startPacing,
  type TaskOptions,
  type Vec3,
} from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import type { DrawAssessment } from './assess-draw.js';
import { checkLoosePiece, type LooseSlide } from './check-loose-piece.js';
import { countFlasks, type FlaskStack } from './count-flasks.js';
import { findHeldRegions, type HeldRegion } from './find-held-regions.js';
import { misfitLength } from './find-flat-joint.js';
import type { PartingSurface } from './parting-surface.js';
import { NOTHING } from './score-draw.js';
import { shapePartingSurface } from './shape-parting-surface.js';
import { castLike } from './trace-shadow-boundary.js';
import { turnDraw } from './turn-draw.js';

/** What {@link suggestRemedies} takes. */
export interface SuggestRemediesOptions extends TaskOptions {
  /** Height of the flat joint in use, mm from the file's origin. Default: the assessment's best. */
  readonly jointHeight: number | undefined;
  /** Steepest slope of a shaped joint, degrees, 5–85. Default 30. */
  readonly slopeLimitDeg: number;
  /** Regions looked at one by one, largest first, 1–100; the rest are filled together. Default 8. */
  readonly regions: number;
  /** How far the draw may be turned, degrees, 0–45. Default 15. */
  readonly turnDeg: number;
}

/** Defaults of {@link suggestRemedies}. */
export const SUGGEST_REMEDIES_DEFAULTS: SuggestRemediesOptions = Object.freeze({
  jointHeight: undefined,
  slopeLimitDeg: 30,
  regions: 8,
  turnDeg: 15,
  signal: undefined,
  onProgress: undefined,
});

/** Kinds of remedy, in the order of the trouble they make (common practice, no source). */
export type RemedyKind = 'turn-draw' | 'move-joint' | 'shape-joint' | 'loose-piece' | 'core' | 'cheek' | 'fill';

/** One thing that can be done. */
export interface Remedy {
  readonly kind: RemedyKind;
  /** The region it is for, or `null` where it is for the whole mould or for all small regions together. */
  readonly region: HeldRegion | null;
  /** What it costs: sand to dig or heap, sand of a core, or metal added, mm³; pieces or parts to make besides. */
  readonly costs: { readonly sandMm3: number; readonly metalMm3: number; readonly parts: number };
  /** Sand still held, and trapped by the flat joint, after this remedy alone, mm³. */
  readonly leftMm3: number;
  /** A place to look at, in the pattern's coordinates. */
  readonly where: Vec3 | null;
  /** In words, with its numbers. */
  readonly sentence: string;
  /** What was worked out for it. */
  readonly draw?: Vec3;
  readonly jointHeight?: number;
  readonly surface?: PartingSurface;
  readonly slide?: LooseSlide;
  readonly stack?: FlaskStack;
}

/** Regions smaller than this share of the pattern are filled or eased, not cored (common practice, no source). */
const WORTH_A_PIECE = 0.001;
/** More mould parts than this nobody stacks (common practice, no source). */
const MOST_PARTS = 6;
/** Share of the shadow that may go the wrong way in a part of a stack: the raggedness of a scan. */
const SLACK_SHARE = 0.005;

const FREE = { sandMm3: 0, metalMm3: 0, parts: 0 };

/**
 * Suggests remedies for a draw.
 *
 * @param assessment Of the same pattern; its direction, column and flat joint are used.
 * @returns Remedies in the order of {@link RemedyKind}, largest region first; empty where nothing is held or trapped.
 *   Deterministic. Cost: some 60 coarse casts, and one shaped joint where a flat one traps sand.
 * @throws OddsideError `bad-option`, `bad-number`; the signal's reason when aborted.
 */
export async function suggestRemedies(
  pattern: Pattern,
  assessment: DrawAssessment,
  options?: Partial<SuggestRemediesOptions>,
): Promise<Remedy[]> {
  const chosen = resolveOptions('suggestRemedies', SUGGEST_REMEDIES_DEFAULTS, options);
  checkNumber('regions', chosen.regions, { min: 1, max: 100, whole: true });
  checkNumber('turnDeg (degrees)', chosen.turnDeg, { min: 0, max: 45 });
  if (chosen.jointHeight !== undefined) checkNumber('jointHeight (mm)', chosen.jointHeight);
  const pacer = startPacing(chosen);
  const { direction, flat, backDraftMm3: held } = assessment;
  const nothing = NOTHING * Math.max(assessment.solidMm3, 1e-12);
  const jointHeight = chosen.jointHeight ?? flat.height;
  const field = castLike(pattern, direction, assessment.column);
  const base = flat.height - (field.highest - assessment.copeDepth);
  const misfit = misfitLength(field.cells, jointHeight - base) * field.column ** 2;
  const remedies: Remedy[] = [];
  await pacer.step(0.05);

  if (held > nothing) {
    const turned = await turnDraw(pattern, direction, chosen.turnDeg, (done) => pacer.step(0.05 + 0.5 * done));
    if (turned.leftMm3 < 0.8 * turned.beforeMm3) {
      const leftMm3 = held * (turned.leftMm3 / turned.beforeMm3);
      remedies.push({
        kind: 'turn-draw',
        region: null,
        costs: FREE,
        leftMm3,
        where: null,
        draw: turned.direction,
        sentence: `Turn the draw by ${plainNumber(turned.angleDeg, 2)}°: about ${formatVolume(leftMm3, 'metric', 2)} is still held instead of ${formatVolume(held)}.`,
      });
    }
  }
  if (misfit > flat.misfitMm3 + nothing) {
    remedies.push({
      kind: 'move-joint',
      region: null,
      costs: FREE,
      leftMm3: held + flat.misfitMm3,
      where: null,
      jointHeight: flat.height,
      sentence: `Move the joint by ${formatLength(flat.height - jointHeight)}: it then traps ${formatVolume(flat.misfitMm3)} instead of ${formatVolume(misfit)}.`,
    });
  }
  if (flat.misfitMm3 > nothing) {
    const strict = shapeJoint(pattern, assessment, chosen.slopeLimitDeg, 0);
    await pacer.step(0.6);
    // A scan's rim is ragged: where no joint meets it exactly, one that may leave it by a column often does.
    const eased = strict.feasible ? null : shapeJoint(pattern, assessment, chosen.slopeLimitDeg, assessment.column);
    remedies.push(shapedJoint(eased?.feasible ? eased : strict, eased?.feasible ? assessment.column : 0, held));
  }
  await pacer.step(0.7);

  const found = findHeldRegions(pattern, field);
  const singles = found.regions.filter((region) => region.volumeMm3 > nothing).slice(0, chosen.regions);
  const pieces: Remedy[] = [];
  const cores: Remedy[] = [];
  const fills: Remedy[] = [];
  for (const [i, region] of singles.entries()) {
    const leftMm3 = Math.max(0, held - region.volumeMm3) + misfit;
    const at = { region, leftMm3, where: region.where };
    const worth = region.volumeMm3 >= WORTH_A_PIECE * assessment.solidMm3;
    const slide = worth ? checkLoosePiece(found, region.number) : null;
    if (slide)
      pieces.push({
        ...at,
        kind: 'loose-piece',
        costs: { ...FREE, parts: 1 },
        slide,
        sentence: sayLoose(region, slide),
      });
    if (worth) {
      cores.push({
        ...at,
        kind: 'core',
        costs: { sandMm3: region.volumeMm3, metalMm3: 0, parts: 1 },
        sentence: `Make the ${formatVolume(region.volumeMm3)} held here as a core, with prints to hold it.`,
      });
    }
    fills.push({
      ...at,
      kind: 'fill',
      costs: { ...FREE, metalMm3: region.volumeMm3 },
      sentence: `Fill this place: the casting gains ${formatVolume(region.volumeMm3)} of metal, to be cut away or left.`,
    });
    await pacer.step(0.7 + (0.2 * (i + 1)) / singles.length);
  }
  const rest = held - singles.reduce((sum, region) => sum + region.volumeMm3, 0);
  if (singles.length < found.regions.length && rest > nothing) {
    fills.push({
      kind: 'fill',
      region: null,
      costs: { ...FREE, metalMm3: rest },
      leftMm3: held - rest + misfit,
      where: found.regions[singles.length].where,
      sentence: `Fill the ${found.regions.length - singles.length} smaller places: ${formatVolume(rest)} of metal in all.`,
    });
  }
  const cheek = held > nothing ? cheekRemedy(pattern, assessment) : null;
  pacer.finish();
  return [...remedies, ...pieces, ...cores, ...(cheek ? [cheek] : []), ...fills];
}

function sayLoose(region: HeldRegion, slide: LooseSlide): string {
  const side =
    slide.piece === 'under'
      ? 'under the sand held here, left in the drag'
      : 'over the sand held here, left in the cope';
  return `Make the metal ${side}, a loose piece of ${formatVolume(slide.pieceMm3)}: drawn after the rest, it slides ${formatLength(slide.distance)} sideways into the room they left, and ${formatVolume(region.volumeMm3)} comes free.`;
}

/** Columns are three times as wide as the assessment's: the joint's volumes need no more, and it is tried twice. */
const shapeJoint = (
  pattern: Pattern,
  assessment: DrawAssessment,
  slopeLimitDeg: number,
  band: number,
): PartingSurface => shapePartingSurface(pattern, assessment, { slopeLimitDeg, band, column: 3 * assessment.column });

function shapedJoint(surface: PartingSurface, band: number, held: number): Remedy {
  const sandMm3 = surface.copeDownMm3 + surface.buildUpMm3;
  const slope = plainNumber(surface.feasible ? surface.slopeLimitDeg : (surface.leastSlopeDeg ?? 90));
  const isFlat = surface.feasible && sandMm3 <= surface.volumeErrorMm3;
  const ease = band > 0 ? ` It leaves the rim by up to ${formatLength(band)} where that is ragged.` : '';
  return {
    kind: 'shape-joint',
    region: null,
    costs: { sandMm3, metalMm3: 0, parts: 0 },
    leftMm3: held,
    where: surface.conflict ? surface.conflict.high : surface.steepestAt,
    surface,
    sentence: isFlat
      ? `Keep the joint flat at ${formatLength(surface.jointHeight)}: what it seems to trap lies inside the outline, where the pattern itself parts the sand.${ease}`
      : surface.feasible
        ? `Shape the joint to the pattern, no steeper than ${slope}°: cope down ${formatVolume(surface.copeDownMm3)} and build up ${formatVolume(surface.buildUpMm3)}.${ease}`
        : `Step the joint: a slope of ${slope}° at least is needed, more than the ${plainNumber(surface.slopeLimitDeg)}° asked for; about ${formatVolume(sandMm3)} of sand is moved.`,
  };
}

function cheekRemedy(pattern: Pattern, assessment: DrawAssessment): Remedy | null {
  const stack = countFlasks(pattern, assessment.direction, { slackMm2: SLACK_SHARE * assessment.shadowAreaMm2 });
  if (stack.count < 3 || stack.count > MOST_PARTS) return null;
  return {
    kind: 'cheek',
    region: null,
    costs: { ...FREE, parts: stack.count - 2 },
    leftMm3: 0,
    where: null,
    stack,
    sentence: `Mould in ${stack.count} parts: ${stack.count - 2} cheek${stack.count > 3 ? 's' : ''} between drag and cope, the pattern split at each joint; next to nothing is held then.`,
  };
}
