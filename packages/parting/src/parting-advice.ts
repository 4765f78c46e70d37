/** Advice on how a pattern should lie and part. */
import type { Finding, Vec3 } from '@oddside/core';
import type { PartingCandidate } from './make-candidate.js';
import type { NoDrawProof } from './prove-no-draw.js';

/** A draw that was looked at and is not shown as a candidate. */
export interface RejectedDraw {
  readonly direction: Vec3;
  readonly points: number;
  readonly reason: string;
}

/** What was searched, so that a "none found" can be judged. */
export interface SearchRecord {
  /** Draws whose columns were cast, opposites counted once. */
  readonly drawsLookedAt: number;
  readonly samples: number;
  /**
   * Of those, how many needed no cast because the faces alone show that they hold sand, see `ruleOutDraws`. Asked only where
   * limits forbid all back draft: otherwise a draw that holds a little may still be the best there is.
   */
  readonly ruledOut: number;
  readonly ownAxes: number;
  /** No draw is further than this from one that was looked at, degrees, before refinement. */
  readonly coveringRadiusDeg: number;
  readonly searchColumns: number;
  readonly columns: number;
}

/** Advice on how a pattern should lie and part. */
export interface PartingAdvice {
  /** Best first; at least one unless the pattern has no surface, or limits and wishes rule out all that was found. */
  readonly candidates: readonly PartingCandidate[];
  /** Some of the draws not shown and why: what limits and wishes rule out, near twins of candidates, own axes that lost. */
  readonly rejected: readonly RejectedDraw[];
  readonly search: SearchRecord;
  /** What could be proved where no candidate leaves the sand; `null` where one does, or where nothing was tried. */
  readonly proof: NoDrawProof | null;
  readonly findings: readonly Finding[];
}
