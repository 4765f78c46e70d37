/**
 * A pattern split along its joint into a cope half and a drag half, with holes for loose dowels, or both halves on one
 * plate. Loose dowels and not pegs of one piece, because a half then prints flat on its joint.
 */
import { plainNumber, startPacing, type Finding, type Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import { checkThinWalls } from './check-thin-walls.js';
import { patternOf } from './convert-body.js';
import { cutToBed } from './cut-to-bed.js';
import {
  beginSplit, HalfHere, piecesOf, wishOf, type HalfInWork, type HalfMade, type HalfReadOut, type HalfSide, type SplitInWork,
} from './half-in-work.js'; // prettier-ignore
import type { HalfKeeper, KeptHalf } from './kept-halves.js';
import type { Kernel } from './kernel.js';
import { inScope } from './own-bodies.js';
import { makePlate, planPlate, plateFindings, type PlatePlan } from './make-plate.js';
import { chooseDowels, type Dowel, type PlacedDowel } from './place-dowels.js';
import { readingFindings } from './reading-loss.js';
import { splitOptions, type SplitPatternOptions } from './split-options.js';

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

/** See {@link SplitPatternOptions}. @throws OddsideError `bad-pattern`, `bad-direction`, `bad-number`, `bad-option`. */
export async function splitPattern(
  kernel: Kernel,
  pattern: Pattern,
  direction: Vec3,
  given: Partial<SplitPatternOptions> & Pick<SplitPatternOptions, 'joint'>,
  keeper?: HalfKeeper,
): Promise<SplitPattern> {
  const options = splitOptions(given);
  const plan = options.plate ? planPlate(options.plate) : null;
  const pacer = startPacing(options);
  return inScope(kernel, async (scope) => {
    const work = beginSplit(scope, pattern, direction, options);
    const keep = keeper?.begin(pattern);
    await pacer.step(0.15);
    const halves = { cope: new HalfHere(work, 'cope'), drag: new HalfHere(work, 'drag') };
    const both: AskBoth = async (ask, from, to) => {
      const cope = await ask(halves.cope, 'cope');
      await pacer.step((from + to) / 2);
      const drag = await ask(halves.drag, 'drag');
      await pacer.step(to);
      return { cope, drag };
    };
    const plate = plan && ((): Promise<PlateReadOut> => plateOf(work, halves, plan));
    const result = await splitWith({ options, cope: halves.cope, both, keep, plate });
    pacer.finish();
    return result;
  });
}

/** Asks both halves the same, one after the other or at once. Afterwards `to` of the whole work is done. */
export type AskBoth = <T>(
  ask: (half: HalfInWork, side: HalfSide) => Promise<T>,
  from: number,
  to: number,
) => Promise<Record<HalfSide, T>>;

/** A split whose halves may be in one kernel or in two. */
export interface Splitting {
  readonly options: SplitPatternOptions;
  readonly cope: HalfInWork;
  readonly both: AskBoth;
  /** Hears of the cope half that a board may want. */
  readonly keep: ((half: KeptHalf) => void) | undefined;
  /** Makes the plate; `null` where none was asked for. */
  readonly plate: (() => Promise<PlateReadOut>) | null;
}

interface PlateReadOut extends Pick<HalfReadOut, 'pieces' | 'keys' | 'thinWalls'> {
  readonly plate: Pattern;
  /** Of the plate itself, and of cutting it to a bed. */
  readonly findings: readonly Finding[];
}

const NO_PLATE = Object.freeze({ plate: null, pieces: [], keys: [], thinWalls: [], findings: [] });

/** Makes the halves, and the result of both. */
export async function splitWith({ options, cope, both, keep, plate }: Splitting): Promise<SplitPattern> {
  const made = await both(
    async (half) => {
      const one = await half.make();
      if (one.kept) keep?.(one.kept);
      return one;
    },
    0.15,
    0.7,
  );
  const { patternMm3, errorMm3 } = made.cope;
  const before = made.cope.volumeMm3 + made.drag.volumeMm3;
  const addedMm3 = before - patternMm3;
  const placed = plate ? [] : await findDowels(cope, both, options);
  const drilled = await both((half) => half.drill(placed), 0.75, 0.85);
  const mounted = plate ? await plate() : NO_PLATE;
  const { dowels, solids } = await cope.dowels(placed);
  // Where nothing was filled the sand is the pattern's own.
  const ownSand = addedMm3 <= errorMm3;
  const cut = plate !== null || drilled.cope.pieces + drilled.drag.pieces > 0;
  const out = await both(
    (half, side) =>
      half.readOut({
        firstPiece: side === 'cope' ? 0 : drilled.cope.pieces,
        firstKey: side === 'cope' ? 0 : drilled.cope.keys,
        printed: plate === null && (!cut || drilled[side].pieces > 0),
        sand: !ownSand ? 'half' : side === 'cope' ? 'pattern' : 'none',
      }),
    0.85,
    0.98,
  );
  const read = [out.cope, out.drag];
  return {
    cope: out.cope.half,
    drag: out.drag.half,
    dowels,
    dowelSolids: solids,
    plate: mounted.plate,
    pieces: [...read.flatMap(({ pieces }) => pieces), ...mounted.pieces],
    keys: [...read.flatMap(({ keys }) => keys), ...mounted.keys],
    volumes: {
      patternMm3,
      addedMm3,
      copeMm3: drilled.cope.volumeMm3,
      dragMm3: drilled.drag.volumeMm3,
      holesMm3: before - drilled.cope.volumeMm3 - drilled.drag.volumeMm3,
      errorMm3,
    },
    findings: [
      ...readingFindings(made.cope),
      ...findingsOf(options, made, placed),
      ...mounted.findings,
      ...drilled.cope.findings,
      ...drilled.drag.findings,
      ...[...read, mounted].flatMap(({ thinWalls }) => thinWalls),
      ...read.flatMap(({ thinSand }) => thinSand),
    ],
  };
}

function findDowels(cope: HalfInWork, both: AskBoth, options: SplitPatternOptions): Promise<PlacedDowel[]> {
  const holds = async (places: readonly PlacedDowel[]): Promise<number[][]> => {
    const held = await both((half) => half.holds(places), 0.7, 0.75);
    return [held.cope, held.drag];
  };
  return chooseDowels(wishOf(options), (n) => cope.sites(n), holds);
}

/** The plate needs both halves in one kernel. */
async function plateOf(
  work: SplitInWork,
  halves: Readonly<Record<HalfSide, HalfHere>>,
  plan: PlatePlan,
): Promise<PlateReadOut> {
  const { scope, pattern, draw, joint, options } = work;
  const { bed, clearance, printWall, signal } = options;
  const body = makePlate(scope, draw.mesh.box, joint, { cope: halves.cope.body, drag: halves.drag.body }, plan);
  const cut = bed ? cutToBed(scope, body, bed, clearance) : null;
  const plate = { ...patternOf(draw.frame, body, `${pattern.name} plate`), unit: pattern.unit };
  const { pieces, keys } = piecesOf(work, cut, 0, 0);
  return {
    plate,
    pieces,
    keys,
    findings: [...plateFindings(draw.mesh.box, joint, plan), ...(cut?.findings ?? [])],
    thinWalls: await checkThinWalls(pieces.length > 0 ? pieces : [plate], { printWall, signal }),
  };
}

function findingsOf(
  { dowels, plate, wall }: SplitPatternOptions,
  made: Readonly<Record<HalfSide, HalfMade>>,
  placed: readonly PlacedDowel[],
): Finding[] {
  const findings: Finding[] = [];
  for (const half of ['cope', 'drag'] as const) {
    if (made[half].present) continue;
    findings.push({
      code: 'half-empty',
      severity: 'note',
      message: `The whole pattern lies on one side of the joint; there is no ${half} half.`,
      remedy: 'Mould the pattern as it is, flat on a board, or move the joint into it.',
    });
  }
  const halved = made.cope.present && made.drag.present;
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
