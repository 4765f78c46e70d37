/** The things to print or mill for a job: the two halves of the pattern, and the board the drag is rammed on. */
import { OddsideError, resolveOptions, type Finding, type TaskOptions } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import { jointThroughMetal, openSolids, type Joint, type PrinterBed } from '@oddside/solids';
import type { CastingJob } from './casting-job.js';

/** What {@link makeParts} takes. */
export interface MakePartsOptions extends TaskOptions {
  /** `flat`: the joint is a plane. `shaped`: it follows the parting line. Default `flat`. */
  readonly joint: 'flat' | 'shaped';
  /** Make the halves of a split pattern. Default true. */
  readonly halves: boolean;
  /** Make the follow board. Default true. */
  readonly board: boolean;
  /** Printer's bed to cut the parts to, mm. Default: left whole. */
  readonly bed: PrinterBed | undefined;
}

/** Defaults of {@link makeParts}. */
export const MAKE_PARTS_DEFAULTS: MakePartsOptions = Object.freeze({
  joint: 'flat',
  halves: true,
  board: true,
  bed: undefined,
  signal: undefined,
  onProgress: undefined,
});

/** A part with the name of its file, without ending. */
export interface MadePart {
  readonly name: string;
  readonly pattern: Pattern;
}

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
  const joint = jointOf(job, chosen.joint);
  const { signal, bed } = chosen;
  const solids = await openSolids();
  const parts: MadePart[] = [];
  const findings: Finding[] = [];
  const keep = (name: string, pattern: Pattern | null): void => {
    if (pattern) parts.push({ name, pattern });
  };
  const keepPieces = (name: string, pieces: readonly Pattern[]): void => {
    for (const [i, piece] of pieces.entries()) keep(`${name}-${i + 1}`, piece);
  };
  try {
    if (chosen.halves) {
      const split = await solids.splitPattern(job.laid, [0, 0, 1], { joint, bed, signal });
      keep('cope-half', split.cope);
      keep('drag-half', split.drag);
      keepPieces('dowel', split.dowelSolids);
      keepPieces('half-piece', split.pieces);
      keepPieces('half-key', split.keys);
      findings.push(...split.findings);
    }
    if (chosen.board) {
      const made = await solids.followBoard(job.laid, [0, 0, 1], { joint, bed, signal });
      keep('follow-board', made.board);
      keepPieces('board-piece', made.pieces);
      keepPieces('board-key', made.keys);
      findings.push(...made.findings);
    }
  } finally {
    solids.dispose();
  }
  chosen.onProgress?.(1);
  return { parts, findings };
}

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
