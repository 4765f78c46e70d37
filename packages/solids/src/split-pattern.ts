/**
 * A pattern split along its joint into a cope half and a drag half, with holes for loose dowels, or both halves on one
 * plate. Loose dowels and not pegs of one piece, because a half then prints flat on its joint.
 */
import {
  checkNumber, plainNumber, resolveOptions, startPacing, type Finding, type TaskOptions, type Vec3,
} from '@oddside/core'; // prettier-ignore
import type { Pattern } from '@oddside/pattern';
import { STAND_SAND, THIN_WALL_DEFAULTS, checkThinWalls, checkWallLimits } from './check-thin-walls.js';
import { meshOfBody, patternOf, patternToLookAt } from './convert-body.js';
import { checkBed, cutToBed, type PrinterBed } from './cut-to-bed.js';
import type { DrawFrame } from './draw-frame.js';
import { fillHalves, plainHalves } from './fill-half.js';
import { frameColumns } from './frame-columns.js';
import { frameJoint, type FramedJoint } from './frame-joint.js';
import type { Joint } from './joint.js';
import { keptOf, type KeptHalves } from './kept-halves.js';
import type { Body, Kernel } from './kernel.js';
import { inScope, type Scope } from './own-bodies.js';
import { makePlate, planPlate, plateFindings, type PatternPlate } from './make-plate.js';
import { dowelBody, dowelOf, placeDowels, type Dowel, type PlacedDowel } from './place-dowels.js';
import { prepareDraw, type PreparedDraw } from './prepare-draw.js';
import { readingFindings } from './reading-loss.js';

/** What `splitPattern` takes. */
export interface SplitPatternOptions extends TaskOptions {
  readonly joint: Joint;
  /**
   * Fill first what the halves would tear. Along a flat joint everything that it tears is filled; along a free-form joint
   * only held sand, because the joint meets the rim to a column's width and must not be given a step there. Default true.
   */
  readonly fill: boolean;
  /** How many dowels, 0–8. Default 2; the second is thinner, so that the halves go together in one way only. */
  readonly dowels: number;
  /** mm. Default: as thick as the section bears, 2–12. */
  readonly dowelDiameter: number | undefined;
  /** Room between dowel and hole, mm on the radius. Default 0.15 (common practice for printed holes, no source). */
  readonly clearance: number;
  /** Least metal round a hole and beyond its end, mm. Default 2. */
  readonly wall: number;
  /** Makes a plate with a half on each face instead of two loose halves. Default none. */
  readonly plate: PatternPlate | undefined;
  /** Cut every half (and the plate) to a printer's bed, along the frame across the draw. Default none. */
  readonly bed: PrinterBed | undefined;
  /** Walls of what is to be printed thinner than this are told, mm; 0: not looked for. Default 1.2 (common practice, no source). */
  readonly printWall: number;
  /** Sand between walls of the pattern thinner than this is told as too thin to stand, mm; 0: not looked for. Default 3 (common practice, no source). */
  readonly standSand: number;
}

/** Defaults of `splitPattern`; the joint has none. */
export const SPLIT_PATTERN_DEFAULTS: Omit<SplitPatternOptions, 'joint'> = Object.freeze({
  fill: true,
  dowels: 2,
  dowelDiameter: undefined,
  clearance: 0.15,
  wall: 2,
  plate: undefined,
  bed: undefined,
  printWall: THIN_WALL_DEFAULTS.printWall,
  standSand: STAND_SAND,
  signal: undefined,
  onProgress: undefined,
});

/** A split pattern, in the pattern's own coordinates: everything lies where it belongs. */
export interface SplitPattern {
  /** The halves, with their dowel holes; `null` where the joint passes the pattern by on that side. */
  readonly cope: Pattern | null;
  readonly drag: Pattern | null;
  readonly dowels: readonly Dowel[];
  /** The dowels as solids, where one wants to print them. */
  readonly dowelSolids: readonly Pattern[];
  /** The plate with its halves, where one was asked for. Its two faces lie half its thickness over and under the joint. */
  readonly plate: Pattern | null;
  /** The pieces of cope, drag (or of the plate) and the loose keys that join them, where a bed was given. */
  readonly pieces: readonly Pattern[];
  readonly keys: readonly Pattern[];
  /** cope + drag + holes = pattern + added; each mm³. */
  readonly volumes: {
    readonly patternMm3: number;
    readonly addedMm3: number;
    readonly copeMm3: number;
    readonly dragMm3: number;
    readonly holesMm3: number;
    readonly errorMm3: number;
  };
  readonly findings: readonly Finding[];
}

interface Halves {
  cope: Body | null;
  drag: Body | null;
}

const volumeOf = (body: Body | null): number => (body ? body.volume() : 0);
const presentOf = ({ cope, drag }: Halves): Body[] => [cope, drag].filter((half) => half !== null);

/** Columns across the pattern on which places for dowels are sought. */
const DOWEL_COLUMNS = 192;

/** See {@link SplitPatternOptions}. @throws OddsideError `bad-pattern`, `bad-direction`, `bad-number`, `bad-option`. */
export async function splitPattern(
  kernel: Kernel,
  pattern: Pattern,
  direction: Vec3,
  given: Partial<SplitPatternOptions> & Pick<SplitPatternOptions, 'joint'>,
  kept?: KeptHalves,
): Promise<SplitPattern> {
  const defaults: SplitPatternOptions = { ...SPLIT_PATTERN_DEFAULTS, joint: given?.joint };
  const options = resolveOptions('splitPattern', defaults, given);
  checkNumber('dowels', options.dowels, { min: 0, max: 8, whole: true });
  checkNumber('clearance (mm)', options.clearance, { min: 0, max: 5 });
  checkNumber('wall (mm)', options.wall, { min: 0 });
  if (options.dowelDiameter !== undefined) checkNumber('dowelDiameter (mm)', options.dowelDiameter, { min: 0.5 });
  if (options.bed) checkBed(options.bed);
  checkWallLimits(options);
  const plan = options.plate ? planPlate(options.plate) : null;
  const pacer = startPacing(options);
  return inScope(kernel, async (scope) => {
    const draw = prepareDraw(scope, pattern, direction);
    const joint = frameJoint(draw.frame, options.joint);
    await pacer.step(0.15);
    const maker = (options.fill ? fillHalves : plainHalves)(scope, draw, joint);
    // A film as thin as the rounding is no half: the joint then lies in the pattern's own face.
    const half = (body: Body): Body | null => (body.volume() > draw.errorMm3 ? body : null);
    const cope = half(maker.cope());
    if (cope && options.fill && joint.level !== null) {
      kept?.keep(pattern, draw.frame, keptOf(cope, joint.level, draw.errorMm3));
    }
    await pacer.step(0.45);
    const halves: Halves = { cope, drag: half(maker.drag()) };
    await pacer.step(0.7);
    const patternMm3 = draw.body.volume();
    const before = volumeOf(halves.cope) + volumeOf(halves.drag);
    const addedMm3 = before - patternMm3;
    const undrilled: Halves = { ...halves };
    const placed = options.plate ? [] : findDowels(scope, draw, pattern, halves, joint, options);
    await pacer.step(0.8);
    if (placed.length > 0) drillHoles(scope, halves, placed, options.clearance);
    const [copeMm3, dragMm3] = [volumeOf(halves.cope), volumeOf(halves.drag)];
    const plate = plan ? makePlate(scope, draw.mesh.box, joint, halves, plan) : null;
    await pacer.step(0.9);
    const cut = cutParts(scope, draw.frame, pattern.name, plate ? [plate] : presentOf(halves), options);
    const named = (body: Body | null, what: string): Pattern | null =>
      body && { ...patternOf(draw.frame, body, `${pattern.name} ${what}`), unit: pattern.unit };
    const made = {
      cope: named(halves.cope, 'cope half'),
      drag: named(halves.drag, 'drag half'),
      dowels: placed.map((dowel) => dowelOf(draw.frame, dowel)),
      dowelSolids: placed.map((dowel, n) => patternOf(draw.frame, dowelBody(scope, dowel), `dowel ${n + 1}`)),
      plate: named(plate, 'plate'),
      pieces: cut.pieces,
      keys: cut.keys,
    };
    // Where nothing was filled the sand is the pattern's own. Dowel holes never hold any, so drilled halves would mislead.
    const ownSand = addedMm3 <= draw.errorMm3;
    const looked = (body: Body | null, what: string): Pattern | null =>
      body && patternToLookAt(draw.frame, meshOfBody(body), `${pattern.name} ${what}`);
    const whole =
      placed.length === 0
        ? [made.cope, made.drag]
        : [looked(undrilled.cope, 'cope half'), looked(undrilled.drag, 'drag half')];
    const moulding = ownSand ? [pattern] : whole;
    const { signal, printWall, standSand } = options;
    const toPrint = cut.pieces.length > 0 ? cut.pieces : made.plate ? [made.plate] : [made.cope, made.drag];
    const result: SplitPattern = {
      ...made,
      volumes: {
        patternMm3,
        addedMm3,
        copeMm3,
        dragMm3,
        holesMm3: before - copeMm3 - dragMm3,
        errorMm3: draw.errorMm3,
      },
      findings: [
        ...readingFindings(draw),
        ...findingsOf(options, halves, placed),
        ...(plan ? plateFindings(draw.mesh.box, joint, plan) : []),
        ...cut.findings,
        ...(await checkThinWalls(toPrint, { printWall, signal })),
        ...(await checkThinWalls(moulding, { printWall: 0, standSand, signal })),
      ],
    };
    pacer.finish();
    return result;
  });
}

function findDowels(
  scope: Scope,
  draw: PreparedDraw,
  pattern: Pattern,
  halves: Halves,
  joint: FramedJoint,
  { dowels, dowelDiameter, wall, clearance }: SplitPatternOptions,
): PlacedDowel[] {
  const columns = frameColumns(draw.frame, pattern, DOWEL_COLUMNS);
  return placeDowels(scope, presentOf(halves), columns, joint, {
    count: dowels,
    diameter: dowelDiameter,
    wall,
    clearance,
  });
}

function drillHoles(scope: Scope, halves: Halves, placed: readonly PlacedDowel[], clearance: number): void {
  const holes = scope.unite(placed.map((dowel) => dowelBody(scope, dowel, clearance)));
  if (halves.cope) halves.cope = scope.cut(halves.cope, holes);
  if (halves.drag) halves.drag = scope.cut(halves.drag, holes);
}

function cutParts(
  scope: Scope,
  frame: DrawFrame,
  name: string,
  parts: readonly Body[],
  { bed, clearance }: SplitPatternOptions,
): { pieces: Pattern[]; keys: Pattern[]; findings: Finding[] } {
  if (!bed) return { pieces: [], keys: [], findings: [] };
  const cuts = parts.map((part) => cutToBed(scope, part, bed, clearance));
  return {
    pieces: cuts.flatMap((cut) => cut.pieces).map((piece, n) => patternOf(frame, piece, `${name} piece ${n + 1}`)),
    keys: cuts.flatMap((cut) => cut.keys).map((key, n) => patternOf(frame, key, `key ${n + 1}`)),
    findings: cuts.flatMap((cut) => cut.findings),
  };
}

function findingsOf(
  { dowels, plate, wall }: SplitPatternOptions,
  halves: Halves,
  placed: readonly PlacedDowel[],
): Finding[] {
  const findings: Finding[] = [];
  for (const [half, body] of Object.entries(halves)) {
    if (body) continue;
    findings.push({
      code: 'half-empty',
      severity: 'note',
      message: `The whole pattern lies on one side of the joint; there is no ${half} half.`,
      remedy: 'Mould the pattern as it is, flat on a board, or move the joint into it.',
    });
  }
  const halved = halves.cope !== null && halves.drag !== null;
  if (!plate && halved && placed.length < dowels) {
    findings.push({
      code: 'few-dowels',
      severity: 'warning',
      message: `The section at the joint bears ${placed.length} of ${dowels} dowels with ${plainNumber(wall)} mm of metal round each.`,
      remedy: 'Ask for thinner dowels or a thinner wall, or mount the halves on a plate.',
    });
  }
  return findings;
}
