/** Limits no way of laying the pattern may pass, such as the depth of the only flask. */
import { checkNumber, formatArea, formatLength, formatVolume, resolveOptions, type UnitSystem } from '@oddside/core';
import { chooseHeight } from './find-flat-joint.js';
import type { PartingScale } from './score-draw.js';

/** Hard limits. What is not named has none; 0 is a limit too. */
export interface DrawLimits {
  /** Depth in the cope and in the drag, mm of pattern, sand margins not counted. */
  readonly copeDepth: number;
  readonly dragDepth: number;
  /** Area on which the metal lifts the cope, mm². */
  readonly projectedAreaMm2: number;
  /** Sand held whatever the joint, and sand that a flat joint traps besides, mm³. */
  readonly backDraftMm3: number;
  readonly flatMisfitMm3: number;
}

/** No limits at all: the defaults of {@link DrawLimits}. */
export const NO_LIMITS: DrawLimits = Object.freeze({
  copeDepth: Infinity,
  dragDepth: Infinity,
  projectedAreaMm2: Infinity,
  backDraftMm3: Infinity,
  flatMisfitMm3: Infinity,
});

/** What they are called. */
const NAMES = /* @__PURE__ */ Object.keys(NO_LIMITS) as readonly (keyof DrawLimits)[];

/** The figures of one draw, one way up, that limits are held against. */
export type LimitedFigures = DrawLimits;

/** Fills in and checks limits. */
export function resolveLimits(caller: string, given: Partial<DrawLimits> | undefined): DrawLimits {
  const limits = resolveOptions(`${caller} limits`, NO_LIMITS, given);
  for (const [name, limit] of Object.entries(limits)) {
    if (limit !== Infinity) checkNumber(`limit ${name} (mm, mm² or mm³)`, limit, { min: 0 });
  }
  return limits;
}

/** Over a limit by less than this share of the pattern is rounding. */
const ROUNDING = 1e-6;

/** One limit passed. */
export interface PassedLimit {
  readonly name: keyof DrawLimits;
  readonly value: number;
  readonly limit: number;
  /** What is too much, as a share of the pattern's size, of a quarter of its surface or of its volume. */
  readonly share: number;
}

/** The limits a draw passes; empty where it keeps within all. */
export function limitsPassed(figures: LimitedFigures, limits: DrawLimits, scale: PartingScale): PassedLimit[] {
  const passed: PassedLimit[] = [];
  for (const name of NAMES) {
    const share = shareOver(name, figures, limits, scale);
    if (share > ROUNDING) passed.push({ name, value: figures[name], limit: limits[name], share });
  }
  return passed;
}

/** All that is too much, added up: 0 for a draw that keeps within the limits. What a search goes down. */
export function overLimits(figures: LimitedFigures, limits: DrawLimits, scale: PartingScale): number {
  let sum = 0;
  for (const name of NAMES) {
    const share = shareOver(name, figures, limits, scale);
    if (share > ROUNDING) sum += share;
  }
  return sum;
}

/** By how much a figure passes its limit, as a share; below 0 within it. */
function shareOver(name: keyof DrawLimits, figures: LimitedFigures, limits: DrawLimits, scale: PartingScale): number {
  const whole = name.endsWith('Mm3') ? scale.volumeMm3 : name.endsWith('Mm2') ? scale.areaMm2 / 4 : scale.size;
  return whole > 0 ? (figures[name] - limits[name]) / whole : 0;
}

/**
 * Chooses among equally good heights of a flat joint as {@link chooseHeight} does, moved only as far as the limits on depth
 * ask; the cope's comes first where both cannot be kept.
 */
export function jointWithin(low: number, high: number, lowest: number, highest: number, limits: DrawLimits): number {
  const chosen = chooseHeight(low, high, lowest, highest);
  const inDrag = Math.min(chosen, lowest + limits.dragDepth);
  const inCope = Math.max(inDrag, highest - limits.copeDepth);
  return Math.max(low, Math.min(high, inCope));
}

/** A limit passed, in words that follow a subject: `stands 62 mm in the cope, 12 mm over the limit of 50 mm`. */
export function describePassed({ name, value, limit }: PassedLimit, show: UnitSystem): string {
  const say = name.endsWith('Mm3') ? formatVolume : name.endsWith('Mm2') ? formatArea : formatLength;
  const what: Readonly<Record<keyof DrawLimits, string>> = {
    copeDepth: `stands ${say(value, show)} in the cope`,
    dragDepth: `lies ${say(value, show)} deep in the drag`,
    projectedAreaMm2: `lets the metal lift on ${say(value, show)}`,
    backDraftMm3: `holds ${say(value, show)} of sand`,
    flatMisfitMm3: `traps ${say(value, show)} with a flat joint`,
  };
  return `${what[name]}, ${say(value - limit, show)} over the limit of ${say(limit, show)}`;
}
