/** The things to print or mill for a job: halves of the pattern, follow board, cores with boxes, loose pieces. */
import { OddsideError, checkNumber, resolveOptions, type Finding, type TaskOptions, type Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import {
  STAND_SAND,
  jointThroughMetal,
  openSolids,
  type FollowBoard,
  type Joint,
  type PatternPlate,
  type PrinterBed,
  type SplitPattern,
} from '@oddside/solids';
import type { CastingJob } from './casting-job.js';
import type { MadePart } from './made-part.js';
import { makeExtras } from './make-extras.js';

/** What {@link makeParts} takes. */
export interface MakePartsOptions extends TaskOptions {
  /** `flat`: the joint is a plane. `shaped`: it follows the parting line. Default `flat`. */
  readonly joint: 'flat' | 'shaped';
  /** Make the halves of a split pattern. Default true. */
  readonly halves: boolean;
  /** Make the follow board. Default true; false with a plate, on which both halves of the mould are rammed. */
  readonly board: boolean | undefined;
  /** Mount both halves on a plate for a flask instead of leaving them loose. Default none. */
  readonly plate: PatternPlate | undefined;
  /** Give the pattern so much draft on every side first, degrees, above 0 and at most 20; back draft along the joint is filled with it. Default none. */
  readonly draftDeg: number | undefined;
  /** Make cores with prints and boxes for sand that no joint can free. The halves then carry the prints. Default false. */
  readonly cores: boolean;
  /** Make the metal that holds trapped sand as loose pieces, of what the cores leave. Default false. */
  readonly loosePieces: boolean;
  /** Walls thinner than this are told as too thin to print, mm; 0: not looked for. Default 1.2 (common practice, no source). */
  readonly printWall: number;
  /** Sand thinner than this is told as too thin to stand, mm; 0: not looked for. Default 3 (common practice, no source). */
  readonly standSand: number;
  /** Printer's bed to cut the parts to, mm. Default: left whole. */
  readonly bed: PrinterBed | undefined;
  /** Threads that make the parts, see `openSolids`, 0–64: with any, halves and board are made side by side. Default 0: one after the other in this one. */
  readonly threads: number;
}

/** Defaults of {@link makeParts}. */
export const MAKE_PARTS_DEFAULTS: MakePartsOptions = Object.freeze({
  joint: 'flat',
  halves: true,
  board: undefined,
  plate: undefined,
  draftDeg: undefined,
  cores: false,
  loosePieces: false,
  printWall: 1.2,
  standSand: STAND_SAND,
  bed: undefined,
  threads: 0,
  signal: undefined,
  onProgress: undefined,
});

/** What was made. */
export interface MadeParts {
  /** In the laid pattern's coordinates: draw along +z, flat joint at height 0. */
  readonly parts: readonly MadePart[];
  readonly findings: readonly Finding[];
}

/**
 * Makes the parts of a planned job. Needs manifold-3d.
 *
 * @throws OddsideError `missing-engine`, `bad-option`, `infeasible` where a shaped joint was asked for and none exists;
 *   whatever the solids package throws.
 */
export async function makeParts(job: CastingJob, options?: Partial<MakePartsOptions>): Promise<MadeParts> {
  const chosen = resolveOptions('makeParts', MAKE_PARTS_DEFAULTS, options);
  checkPartsWishes(chosen);
  const joint = jointOf(job, chosen.joint);
  const { signal, bed, plate, printWall, threads } = chosen;
  const solids = await openSolids({ threads });
  const parts: MadePart[] = [];
  const findings: Finding[] = [];
  const keep = (name: string, pattern: Pattern | null): void => {
    if (pattern) parts.push({ name, pattern });
  };
  const keepPieces = (name: string, pieces: readonly Pattern[]): void => {
    for (const [i, piece] of pieces.entries()) keep(`${name}-${i + 1}`, piece);
  };
  try {
    const extras = await makeExtras(solids, job.laid, joint, chosen);
    parts.push(...extras.parts);
    findings.push(...extras.findings);
    let { main, whole } = extras;
    if (chosen.draftDeg !== undefined) {
      const { draftDeg } = chosen;
      const drafted = await solids.addDraft(main, DRAW, { joint, draftDeg, printWall: 0, standSand: 0, signal });
      // Without loose pieces, which draft does not go with, both are one.
      main = whole = drafted.pattern;
      findings.push(...drafted.findings);
    }
    const makeHalves = (): Promise<SplitPattern> => {
      // Filling would also fill the holes for the pins of loose pieces.
      const fill = !extras.pinned;
      // Cores and loose pieces have looked at the sand round the pattern already.
      const looked = chosen.draftDeg === undefined && (chosen.cores || chosen.loosePieces);
      const standSand = looked ? 0 : chosen.standSand;
      return solids.splitPattern(main, DRAW, { joint, bed, plate, fill, printWall, standSand, signal });
    };
    const makeBoard = (): Promise<FollowBoard> =>
      solids.followBoard(whole, DRAW, { joint, bed, printWall, standSand: chosen.standSand, signal });
    const [halves, bedding] = [chosen.halves ? makeHalves : nothing, (chosen.board ?? !plate) ? makeBoard : nothing];
    const [split, board] = threads > 0 ? await Promise.all([halves(), bedding()]) : [await halves(), await bedding()];
    if (split) {
      keep('match-plate', split.plate);
      if (!split.plate) {
        keep('cope-half', split.cope);
        keep('drag-half', split.drag);
      }
      keepPieces('dowel', split.dowelSolids);
      keepPieces('half-piece', split.pieces);
      keepPieces('half-key', split.keys);
      findings.push(...split.findings);
    } else if (main !== job.laid) keep('main-pattern', main);
    if (board) {
      keep('follow-board', board.board);
      keepPieces('board-piece', board.pieces);
      keepPieces('board-key', board.keys);
      // The halves made with it are filled, and fill its nest.
      const filled = chosen.halves && !extras.pinned;
      findings.push(...board.findings.filter(({ code }) => !(filled && code === 'nest-off-pattern')));
    }
  } finally {
    solids.dispose();
  }
  chosen.onProgress?.(1);
  // One maker hands its solid to the next, and both may say the same of it.
  const told = new Set<string>();
  const isNew = ({ message }: Finding): boolean => !told.has(message) && Boolean(told.add(message));
  return { parts, findings: findings.filter(isNew) };
}

/** Refuses what does not go together, before any work. @throws OddsideError `bad-option`, `bad-number`. */
export function checkPartsWishes({
  draftDeg,
  loosePieces,
  plate,
  halves,
}: Pick<MakePartsOptions, 'draftDeg' | 'loosePieces' | 'plate' | 'halves'>): void {
  if (draftDeg !== undefined) checkNumber('draftDeg (degrees)', draftDeg, { min: 0, max: 20, above: true });
  if (draftDeg !== undefined && loosePieces) {
    throw new OddsideError(
      'bad-option',
      'Draft and loose pieces were both asked for, but draft fills the back draft that loose pieces free. Leave out draftDeg or loosePieces, or give the pattern its draft where it is drawn.',
    );
  }
  if (plate && !halves) {
    throw new OddsideError(
      'bad-option',
      'A plate was asked for without the halves that it carries. Leave out plate, or let halves be made.',
    );
  }
}

const nothing = (): Promise<null> => Promise.resolve(null);

/** The laid pattern's draw. */
const DRAW: Vec3 = [0, 0, 1];

function jointOf(job: CastingJob, kind: 'flat' | 'shaped'): Joint {
  if (kind === 'flat') return { kind: 'level', height: 0 };
  if (kind !== 'shaped') {
    throw new OddsideError('bad-option', `joint must be "flat" or "shaped", but "${String(kind)}" came.`);
  }
  if (!job.surface.feasible) {
    throw new OddsideError(
      'infeasible',
      `No joint of at most ${job.surface.slopeLimitDeg}° meets this pattern everywhere. Use joint: 'flat' and fill, or lay it another way.`,
      { leastSlopeDeg: job.surface.leastSlopeDeg },
    );
  }
  return jointThroughMetal(job.laid, job.surface);
}
