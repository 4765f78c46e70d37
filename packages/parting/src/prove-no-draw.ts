/**
 * Proof that no draw exists. A search that finds nothing proves nothing; two things do: a void shut in on all sides, and
 * caps of draws, each held for a reason of its own, that together cover every direction: a witness (sand between two balls
 * of metal), or faces that would have to hang together and do not. The sphere of draws is cut into triangles, each held so or
 * cut further, until all are held or one is too small to go on (geometry of two-part moulds, dependence on direction).
 */
import {
  add,
  angleBetweenDeg,
  checkNumber,
  formatVolume,
  plainNumber,
  resolveOptions,
  startPacing,
  unitVector,
  type TaskOptions,
  type Vec3,
} from '@oddside/core';
import { inspectPattern, inspectPatternFully, type Pattern } from '@oddside/pattern';
import { makeScratch } from './cast-columns.js';
import { findWitness, heldRoundDeg, type Witness } from './find-witness.js';
import { surveyShells, type EnclosedVoid } from './find-voids.js';
import { proveHeldWithin, webFaces, type FaceWeb } from './prove-held.js';

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

/** What could be proved. */
export interface NoDrawProof {
  /** True only where no draw of any direction exists. */
  readonly proved: boolean;
  readonly by: 'enclosed void' | 'witness balls' | 'parted faces' | null;
  /** Voids shut in on all sides. */
  readonly voids: readonly EnclosedVoid[];
  /** Witnesses; where `proved` is by them, their caps cover every draw. */
  readonly witnesses: readonly Witness[];
  /** Caps of draws held because what looks one way is in pieces; `by` says so where the proof needs one. */
  readonly parted: readonly PartedCap[];
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
  const { voids, handles } = surveyShells(pattern);
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
  const scratch = makeScratch(pattern);
  const witnesses: Witness[] = [];
  const parted: PartedCap[] = [];
  let web: FaceWeb | null | undefined;
  let coveredShare = 0;
  const stack = halfSphere();
  for (let cell = stack.pop(); cell; cell = stack.pop()) {
    const { middle, reachDeg } = capOf(cell);
    await pacer.step(0.01 + 0.98 * coveredShare);
    const holds = (witness: Witness): boolean => heldRoundDeg(witness, middle) > reachDeg + 1e-9;
    if (witnesses.some(holds)) {
      coveredShare += cell.share;
      continue;
    }
    if (reachDeg <= FIRST_LOOK_DEG) {
      const { witness, gaps } = findWitness(pattern, middle, chosen.columns, scratch);
      if (witness && holds(witness)) {
        witnesses.push(witness);
        coveredShare += cell.share;
        continue;
      }
      if (web === undefined) web = await webFaces(pattern, chosen.signal);
      const held = web ? proveHeldWithin(web, middle, reachDeg) : null;
      if (held) {
        parted.push({ draw: middle, reachDeg, places: held.places });
        coveredShare += cell.share;
        continue;
      }
      if (gaps === 0 || reachDeg <= chosen.finestDeg) {
        const why =
          gaps === 0
            ? 'no held sand was seen along one draw'
            : `${plainNumber(100 * coveredShare, 2)} % of all draws are proved to hold sand, but a cap of ${plainNumber(reachDeg, 2)}° could not be settled`;
        const sentence = `Not proved: ${why}.`;
        return done({ ...nothing, handles, witnesses, parted, coveredShare, openDraw: middle, sentence });
      }
    }
    stack.push(...cutInFour(cell));
  }
  const caps = `${witnesses.length} places, each held for every draw within its own cap`;
  const byFaces = parted.length > 0;
  const also = byFaces ? `, and ${parted.length} caps of draws for which what looks one way is in pieces` : '';
  const sentence = `Proved: along every draw sand is held between metal; ${caps}${also}, cover all directions.`;
  const by = byFaces ? 'parted faces' : 'witness balls';
  return done({ ...nothing, proved: true, by, handles, witnesses, parted, coveredShare: 1, sentence });
}

/** Caps wider than this are cut before a witness is looked for, degrees: none holds so much. */
const FIRST_LOOK_DEG = 30;

/** A triangle of draws, unit vectors, and its share of the half sphere (a draw and its opposite are one). */
interface Cell {
  readonly corners: readonly [Vec3, Vec3, Vec3];
  readonly share: number;
}

function halfSphere(): Cell[] {
  const [x, y, z, w, v]: Vec3[] = [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
    [-1, 0, 0],
    [0, -1, 0],
  ];
  return [
    [x, y, z],
    [y, w, z],
    [w, v, z],
    [v, x, z],
  ].map((corners) => ({ corners: corners as unknown as Cell['corners'], share: 0.25 }));
}

/** The cap round a cell: it holds the corners, and being narrower than a half sphere all between them. */
function capOf({ corners: [a, b, c] }: Cell): { middle: Vec3; reachDeg: number } {
  const middle = unitVector(add(add(a, b), c));
  return { middle, reachDeg: Math.max(...[a, b, c].map((corner) => angleBetweenDeg(middle, corner))) };
}

/** Four cells with the sides' middles; shares by area. */
function cutInFour({ corners: [a, b, c], share }: Cell): Cell[] {
  const [ab, bc, ca] = [unitVector(add(a, b)), unitVector(add(b, c)), unitVector(add(c, a))];
  const cells: [Vec3, Vec3, Vec3][] = [
    [a, ab, ca],
    [ab, b, bc],
    [ca, bc, c],
    [ab, bc, ca],
  ];
  const areas = cells.map(areaOf);
  const whole = areas.reduce((sum, area) => sum + area, 0);
  return cells.map((corners, i) => ({ corners, share: (share * areas[i]) / whole }));
}

/** Solid angle of three unit vectors (Van Oosterom and Strackee). */
function areaOf([a, b, c]: readonly [Vec3, Vec3, Vec3]): number {
  const dot = (p: Vec3, q: Vec3): number => p[0] * q[0] + p[1] * q[1] + p[2] * q[2];
  const box =
    a[0] * (b[1] * c[2] - b[2] * c[1]) + a[1] * (b[2] * c[0] - b[0] * c[2]) + a[2] * (b[0] * c[1] - b[1] * c[0]);
  return 2 * Math.atan2(Math.abs(box), 1 + dot(a, b) + dot(b, c) + dot(c, a));
}
