/** Which way the pattern is laid: advice by the founder's wishes, limits and flasks, and the way that is followed. */
import { checkNumber, OddsideError, scale as times, unitVector, type TaskOptions, type Vec3 } from '@oddside/core';
import {
  advisePartings,
  candidateAlongInPieces,
  type CandidateInPiecesOptions,
  type FacePick,
  type PartingAdvice,
  type PartingCandidate,
  type PartingWishes,
} from '@oddside/parting';
import type { Pattern } from '@oddside/pattern';
import type { PLAN_CASTING_DEFAULTS } from './plan-options.js';

type Given = typeof PLAN_CASTING_DEFAULTS;

/** Advises on the pattern as it is rammed; the wishes are in the mesh's coordinates, `patternScale` times smaller. */
export function adviseWays(
  rammed: Pattern,
  patternScale: number,
  mended: boolean,
  given: Given,
  task: TaskOptions,
): Promise<PartingAdvice> {
  const { samples, threads, candidates } = given;
  return advisePartings(rammed, { samples, threads, candidates, ...judgedBy(patternScale, mended, given), ...task });
}

/**
 * The way that is followed: the caller's own draw, or the candidate of the rank asked for.
 *
 * @throws OddsideError `infeasible` where limits and wishes left no way at all, `bad-option` for a rank there is not.
 */
export async function chooseWay(
  advice: PartingAdvice,
  rammed: Pattern,
  patternScale: number,
  mended: boolean,
  given: Given,
  task: TaskOptions,
): Promise<PartingCandidate> {
  if (given.direction !== undefined) {
    const judged = judgedBy(patternScale, mended, given);
    return candidateAlongInPieces(rammed, unitVector(given.direction), { ...judged, signal: task.signal });
  }
  const way = checkNumber('way', given.way, { min: 1, max: 20, whole: true });
  const candidate = advice.candidates[way - 1];
  if (candidate) return candidate;
  const [why] = advice.findings;
  if (advice.candidates.length === 0 && why) {
    throw new OddsideError('infeasible', `${why.message} ${why.remedy ?? ''}`.trim(), { finding: why.code });
  }
  throw new OddsideError(
    'bad-option',
    `Way ${way} was asked for, but the advice holds ${advice.candidates.length}. Ask for one of those, or for more candidates.`,
    { way, candidates: advice.candidates.length },
  );
}

function judgedBy(
  patternScale: number,
  mended: boolean,
  { columns, requiredDraftDeg, weights, limits, flasks, show, wishes }: Given,
): Partial<CandidateInPiecesOptions> {
  const sized = wishes && wishesAt(wishes, patternScale, mended);
  return { columns, requiredDraftDeg, weights, limits, flasks, show, wishes: sized };
}

/** Wishes for the pattern at its own size. */
function wishesAt(wishes: Partial<PartingWishes>, patternScale: number, mended: boolean): Partial<PartingWishes> {
  const sized = (face: FacePick): FacePick => {
    if (typeof face !== 'object' || face === null) return face;
    if ('triangles' in face && mended) {
      throw new OddsideError(
        'bad-option',
        'A face was picked by its triangles, but the scan was mended and they are numbered anew. Pick it by a point, or mend the scan first and plan the mended file.',
      );
    }
    return 'point' in face && Array.isArray(face.point) ? { point: times(face.point as Vec3, patternScale) } : face;
  };
  const { faceDown, unmarked, machined } = wishes;
  return {
    ...wishes,
    faceDown: faceDown && sized(faceDown),
    unmarked: Array.isArray(unmarked) ? unmarked.map(sized) : unmarked,
    machined: Array.isArray(machined) ? machined.map(sized) : machined,
  };
}
