/**
 * Proof that no draw exists. A search that finds nothing proves nothing; two things do: a void shut in on all sides, and
 * caps of draws, each held for a reason of its own, that together cover every direction: a re-entrant edge or too small a
 * shadow, a witness (sand between two balls of metal), or faces that would have to hang together and do not. The sphere of draws is cut into triangles, each held so or
 * cut further, until all are held or one is too small to go on (geometry of two-part moulds, dependence on direction).
 */
import {
  checkNumber,
  formatVolume,
  paceSteps,
  plainNumber,
  resolveOptions,
  startPacing,
  type Pacer,
  type TaskOptions,
  type Vec3,
} from '@oddside/core';
import { inspectPattern, inspectPatternFully, type FullInspection, type Pattern } from '@oddside/pattern';
import { makeScratch } from './cast-columns.js';
import { capOf, cutInFour, halfSphere } from './draw-cells.js';
import { axialAngleDeg } from './find-own-axes.js';
import { heldRoundDeg, witnessSteps, type Witness } from './find-witness.js';
import { surveyShells, type EnclosedVoid } from './find-voids.js';
import { proveHeldWithin, webFaces, type FaceWeb } from './prove-held.js';
import { RULE_OUT_DEFAULTS, ruleOutDraw, rulingFrom, type DrawRuling } from './rule-out-draws.js';

/** What {@link proveNoDraw} takes. */
export interface ProveNoDrawOptions extends TaskOptions {
  /** Caps of draws smaller than this are given up, degrees, 0.5–20. Default 3. Cost grows with its inverse square. */
  readonly finestDeg: number;
  /** Columns across the shadow when looking for witnesses, 8–256. Default 48. */
  readonly columns: number;
  /** Patterns with more triangles are only looked over for voids. Default 20 000. */
  readonly mostTriangles: number;
}

/** Defaults of {@link proveNoDraw}. */
export const PROVE_NO_DRAW_DEFAULTS: ProveNoDrawOptions = Object.freeze({
  finestDeg: 3,
  columns: 48,
  mostTriangles: 20_000,
  signal: undefined,
  onProgress: undefined,
});

/** A cap of draws that is held because faces looking one way are in pieces that no upright face joins. */
export interface PartedCap {
  readonly draw: Vec3;
  readonly reachDeg: number;
  /** A place on each of two pieces. */
  readonly places: readonly Vec3[];
}

/** A cap of draws ruled out by faces and hull alone, see {@link ruleOutDraws}; their opposites are as well. */
export interface RuledCap {
  readonly draw: Vec3;
  readonly reachDeg: number;
  readonly by: 're-entrant edge' | 'shadow too small';
  /** A place on the edge; `null` for the shadow. */
  readonly where: Vec3 | null;
}

/** What could be proved. */
export interface NoDrawProof {
  /** True only where no draw of any direction exists. */
  readonly proved: boolean;
  readonly by: 'enclosed void' | 'faces and hull' | 'witness balls' | 'parted faces' | null;
  /** Voids shut in on all sides. */
  readonly voids: readonly EnclosedVoid[];
  /** Witnesses; where `proved` is by them, their caps cover every draw. */
  readonly witnesses: readonly Witness[];
  /** Caps of draws held because what looks one way is in pieces; `by` says so where the proof needs one. */
  readonly parted: readonly PartedCap[];
  /** Caps of draws ruled out by faces and hull alone; `by` says so where the proof needs nothing else. */
  readonly ruled: readonly RuledCap[];
  /** Share of all draws proved to hold sand, 0–1. */
  readonly coveredShare: number;
  /** A draw that nothing proves held, or along which no held sand was seen; `null` where proved or not looked for. */
  readonly openDraw: Vec3 | null;
  /** Handles of the bodies together; a pattern that draws has as many holes in its shadow. `null` where the surface is open. */
  readonly handles: number | null;
  /** In words. */
  readonly sentence: string;
}

/**
 * Tries to prove that a pattern does not draw along any direction.
 *
 * @returns The proof, or how far it got. Deterministic. Stops at the first draw that cannot be settled, so a pattern that
 *   draws costs little. Cost of a proof: some hundred to a thousand times one pass over the triangles.
 * @throws OddsideError `bad-option`, `bad-number`; the signal's reason when aborted.
 */
export async function proveNoDraw(pattern: Pattern, options?: Partial<ProveNoDrawOptions>): Promise<NoDrawProof> {
  const chosen = resolveOptions('proveNoDraw', PROVE_NO_DRAW_DEFAULTS, options);
  checkNumber('finestDeg (degrees)', chosen.finestDeg, { min: 0.5, max: 20 });
  checkNumber('columns', chosen.columns, { min: 8, max: 256, whole: true });
  checkNumber('mostTriangles', chosen.mostTriangles, { min: 0 });
  const pacer = startPacing(chosen);
  const nothing = {
    proved: false,
    by: null,
    voids: [],
    witnesses: [],
    parted: [],
    ruled: [],
    coveredShare: 0,
    openDraw: null,
    handles: null,
  };
  const done = (proof: NoDrawProof): NoDrawProof => {
    pacer.finish();
    return proof;
  };
  if (!inspectPattern(pattern).balanced) {
    return done({
      ...nothing,
      sentence: 'Nothing can be proved: the surface is open, so what is metal is not settled.',
    });
  }
  await pacer.step(0.002);
  const { voids, handles } = surveyShells(pattern);
  await pacer.step(0.004);
  const shells = { ...nothing, voids, handles };
  if (voids.length > 0) {
    // Shells that cut one another could open a void; only then is it no proof.
    const { selfIntersections } = await inspectPatternFully(pattern, { signal: chosen.signal });
    if (selfIntersections !== 0) {
      return done({ ...shells, sentence: 'Not proved: a void seems shut in, but the surface cuts itself.' });
    }
    const volume = voids.reduce((sum, one) => sum + one.volumeMm3, 0);
    const sentence = `Proved: ${formatVolume(volume)} is shut in by metal on all sides, and no draw frees it.`;
    return done({ ...shells, proved: true, by: 'enclosed void', coveredShare: 1, sentence });
  }
  await pacer.step(0.01);
  if (pattern.triangles.length / 3 > chosen.mostTriangles) {
    const sentence = `Not looked for: the pattern has more than ${chosen.mostTriangles} triangles.`;
    return done({ ...nothing, handles, sentence });
  }
  const inspection = await inspectPatternFully(pattern, { signal: chosen.signal });
  const ruling = await rulingFrom(pattern, inspection, RULE_OUT_DEFAULTS, pacer, 0.01, 0.1);
  const cover = await coverDraws(pattern, ruling, inspection, chosen, pacer);
  const { witnesses, parted, ruled, coveredShare, openDraw, why } = cover;
  const found = { ...nothing, handles, witnesses, parted, ruled, coveredShare, openDraw };
  if (openDraw) return done({ ...found, sentence: `Not proved: ${why}.` });
  const by = parted.length > 0 ? 'parted faces' : witnesses.length > 0 ? 'witness balls' : 'faces and hull';
  return done({ ...found, proved: true, by, coveredShare: 1, sentence: sentenceOf(cover) });
}

/** Caps wider than this are cut before a witness is looked for, degrees: none holds so much. */
const FIRST_LOOK_DEG = 30;

/** The caps that were found to hold sand, and where they leave off. */
interface Cover {
  readonly witnesses: readonly Witness[];
  readonly parted: readonly PartedCap[];
  readonly ruled: readonly RuledCap[];
  readonly coveredShare: number;
  readonly openDraw: Vec3 | null;
  readonly why: string;
}

/** Covers all draws with caps, or stops at the first that cannot be. The faces alone are asked first: that needs no column. */
async function coverDraws(
  pattern: Pattern,
  ruling: DrawRuling,
  inspection: FullInspection,
  { columns, finestDeg, signal }: ProveNoDrawOptions,
  pacer: Pacer,
): Promise<Cover> {
  const scratch = makeScratch(pattern);
  const witnesses: Witness[] = [];
  const parted: PartedCap[] = [];
  const ruled: RuledCap[] = [];
  let web: FaceWeb | null | undefined;
  let coveredShare = 0;
  const stop = (openDraw: Vec3, why: string): Cover => ({ witnesses, parted, ruled, coveredShare, openDraw, why });
  const stack = halfSphere();
  for (let cell = stack.pop(); cell; cell = stack.pop()) {
    const { middle, reachDeg } = capOf(cell);
    await pacer.step(0.1 + 0.89 * coveredShare);
    const holds = (witness: Witness): boolean => heldRoundDeg(witness, middle) > reachDeg + 1e-9;
    const covers = (cap: RuledCap): boolean => cap.reachDeg > reachDeg + axialAngleDeg(cap.draw, middle) + 1e-9;
    if (witnesses.some(holds) || ruled.some(covers)) {
      coveredShare += cell.share;
      continue;
    }
    const { by, capDeg, where } = ruleOutDraw(ruling, middle);
    if (by && by !== 'enclosed void' && capDeg > reachDeg + 1e-9) {
      ruled.push({ draw: middle, reachDeg: capDeg, by, where });
      coveredShare += cell.share;
      continue;
    }
    if (reachDeg <= FIRST_LOOK_DEG) {
      const at = 0.1 + 0.89 * coveredShare;
      const { witness, gaps } = await paceSteps(witnessSteps(pattern, middle, columns, scratch), pacer, at, at);
      if (witness && holds(witness)) {
        witnesses.push(witness);
        coveredShare += cell.share;
        continue;
      }
      if (web === undefined) web = await webFaces(pattern, signal, inspection);
      await pacer.step(at);
      const held = web ? proveHeldWithin(web, middle, reachDeg) : null;
      if (held) {
        parted.push({ draw: middle, reachDeg, places: held.places });
        coveredShare += cell.share;
        continue;
      }
      if (gaps === 0) return stop(middle, 'no held sand was seen along one draw');
      if (reachDeg <= finestDeg) {
        // Which gaps are grown from hangs on where the columns fall: before giving up, others are asked.
        const closer = await paceSteps(witnessSteps(pattern, middle, 2 * columns, scratch), pacer, at, at);
        if (closer.witness && holds(closer.witness)) {
          witnesses.push(closer.witness);
          coveredShare += cell.share;
          continue;
        }
        const [share, reach] = [plainNumber(100 * coveredShare, 2), plainNumber(reachDeg, 2)];
        return stop(
          middle,
          `${share} % of all draws are proved to hold sand, but a cap of ${reach}° could not be settled`,
        );
      }
    }
    stack.push(...cutInFour(cell));
  }
  return { witnesses, parted, ruled, coveredShare: 1, openDraw: null, why: '' };
}

/** What proved it, in words. */
function sentenceOf({ witnesses, parted, ruled }: Cover): string {
  const caps = [
    witnesses.length > 0 && `${counted(witnesses.length, 'place')} held for every draw within a cap of its own`,
    parted.length > 0 && `${counted(parted.length, 'cap')} of draws for which what looks one way is in pieces`,
    ruled.length > 0 &&
      `${counted(ruled.length, 'cap')} of draws that a re-entrant edge or the shadow of the hull rules out`,
  ].filter((one) => one !== false);
  const all = caps.length > 1 ? `${caps.slice(0, -1).join(', ')} and ${caps[caps.length - 1]}` : caps[0];
  return `Proved: along every draw sand is held between metal; all directions are covered by ${all}.`;
}

const counted = (count: number, what: string): string => `${count} ${what}${count === 1 ? '' : 's'}`;
