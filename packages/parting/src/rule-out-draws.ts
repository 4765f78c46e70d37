/**
 * Draws that certainly hold sand, told from the faces alone, before a single column is cast. Three signs, each one-sided: what
 * is ruled out holds sand, what is not may or may not.
 *
 * - A void shut in on all sides: no draw of any direction frees it.
 * - A re-entrant edge with one face looking along the draw and the other against it (`reentrant-edges.ts`).
 * - More surface looks along the draw than any shadow can take: the surface that looks along it is the shadow's area times the
 *   mean number of stretches of metal, and the shadow is no larger than that of the convex hull. Both change with the
 *   direction by at most half their whole area a radian, so a surplus rules out a whole cap of draws.
 *
 * From the geometry of two-part moulds, mean number of stretches and dependence on direction; derived there. The hull's and
 * the surface's shadows are Cauchy's.
 */
import {
  checkNumber,
  degrees,
  paceSteps,
  partOfProgress,
  resolveOptions,
  startPacing,
  unitVector,
  type Pacer,
  type TaskOptions,
  type Vec3,
} from '@oddside/core';
import { inspectPatternFully, labelShells, listEdges, type FullInspection, type Pattern } from '@oddside/pattern';
import { sandBeside, surveyShells, type EnclosedVoid } from './find-voids.js';
import { hullSteps, type HullAround } from './hull-around.js';
import { reentrantSteps, sureFaceSteps, type ReentrantEdges } from './reentrant-edges.js';
import { leastFacing, mostFacing, sumFacing, type FacingSums } from './sum-facing.js';

/** What {@link readyRuling} and {@link ruleOutDraws} take. */
export interface RuleOutOptions extends TaskOptions {
  /**
   * How far, mm, each corner may be from where the mesh has it. What is ruled out is ruled out for every such surface. Default: a
   * four-millionth of the pattern, about what a file of 32-bit numbers rounds off. Give a scan's noise here: without it
   * its roughness alone holds sand along every draw.
   */
  readonly noise: number | undefined;
  /**
   * Re-entrant edges whose faces turn by less than this, degrees, 0–90, are taken for the facets of a curve and left out: they
   * hold slivers of sand that the curve itself does not. Default 30, more than most drawings make of a facet (common practice, no
   * source). 0 takes the mesh for what it is.
   */
  readonly smoothDeg: number;
}

/** Defaults of {@link readyRuling} and {@link ruleOutDraws}. */
export const RULE_OUT_DEFAULTS: RuleOutOptions = Object.freeze({
  noise: undefined,
  smoothDeg: 30,
  signal: undefined,
  onProgress: undefined,
});

/** What a draw is ruled out by. */
export type RuledOutBy = 'enclosed void' | 're-entrant edge' | 'shadow too small';

/** A pattern made ready for {@link ruleOutDraw}. */
export interface DrawRuling {
  /** False where nothing can be told; `why` then says why not, and no draw is ruled out. */
  readonly speaks: boolean;
  readonly why: string;
  readonly voids: readonly EnclosedVoid[];
  /** Distinct re-entrant edges that are looked at. */
  readonly edges: ReentrantEdges;
  /** Sums over the pattern's faces, and over those of its convex hull; `null` where it has none. */
  readonly faces: FacingSums;
  readonly hull: { readonly faces: FacingSums; readonly reach: number; readonly around: number } | null;
}

/** What the faces say of one draw. */
export interface RuledDraw {
  /** Unit vector. */
  readonly direction: Vec3;
  /** True only where sand is held along the draw, whatever the joint. */
  readonly ruledOut: boolean;
  readonly by: RuledOutBy | null;
  /** All draws nearer than this to it, or to its opposite, are ruled out as well, degrees; 0 where it is not. */
  readonly capDeg: number;
  /** On the edge, or in the void, that rules it out; `null` for the shadow. */
  readonly where: Vec3 | null;
  /** At least so much surface looks along the draw, and the shadow has this area at most, mm². */
  readonly facingMm2: number;
  readonly shadowMm2: number;
}

/** What the faces say of some draws. */
export interface RuledDraws {
  /** One for each direction, in their order. */
  readonly draws: readonly RuledDraw[];
  /** How many were ruled out by each sign. */
  readonly counts: Readonly<Record<RuledOutBy, number>>;
  /** False where nothing could be told of this pattern. */
  readonly speaks: boolean;
  /** In words. */
  readonly sentence: string;
}

/** Default noise, as a share of the diagonal of the pattern's box. */
const NOISE_SHARE = 2 ** -22;
/** A pattern of more shells than this is not looked at: each takes a pass over the triangles. */
const MOST_SHELLS = 64;

/**
 * Rules out draws along which sand is certainly held, without casting a column.
 *
 * @param directions Draws, any length but zero.
 * @returns What the faces say of each. Deterministic. Cost: that of {@link readyRuling} once, then some microseconds a draw where
 *   faces look few ways, as on a machined part, up to 0.1 ms on a scan.
 * @throws OddsideError `bad-pattern`, `bad-option`, `bad-number`, `bad-direction`; the signal's reason when aborted.
 */
export async function ruleOutDraws(
  pattern: Pattern,
  directions: readonly Vec3[],
  options?: Partial<RuleOutOptions>,
): Promise<RuledDraws> {
  const chosen = resolveOptions('ruleOutDraws', RULE_OUT_DEFAULTS, options);
  const pacer = startPacing(chosen);
  const ruling = await readyWith(pattern, chosen, pacer, 0.8);
  const draws: RuledDraw[] = [];
  const counts: Record<RuledOutBy, number> = { 'enclosed void': 0, 're-entrant edge': 0, 'shadow too small': 0 };
  for (const direction of directions) {
    const draw = ruleOutDraw(ruling, direction);
    if (draw.by) counts[draw.by]++;
    draws.push(draw);
    if (draws.length % 16 === 0) await pacer.step(0.8 + (0.2 * draws.length) / directions.length);
  }
  const out = draws.filter(({ ruledOut }) => ruledOut).length;
  pacer.finish();
  const sentence = ruling.speaks
    ? `${out} of ${draws.length} draws certainly hold sand; of the others the faces alone tell nothing.`
    : ruling.why;
  return { draws, counts, speaks: ruling.speaks, sentence };
}

/**
 * Makes a pattern ready for {@link ruleOutDraw}.
 *
 * @returns What to ask. Where the surface is open, cuts itself, or bodies lie in one another, it is not settled what is metal, and
 *   nothing is ruled out. Cost: an inspection in full (about 5 µs a triangle) and a convex hull (1 to 3 µs a corner).
 * @throws OddsideError `bad-pattern`, `bad-option`, `bad-number`; the signal's reason when aborted.
 */
export async function readyRuling(pattern: Pattern, options?: Partial<RuleOutOptions>): Promise<DrawRuling> {
  const chosen = resolveOptions('readyRuling', RULE_OUT_DEFAULTS, options);
  const pacer = startPacing(chosen);
  const ruling = await readyWith(pattern, chosen, pacer, 1);
  pacer.finish();
  return ruling;
}

async function readyWith(pattern: Pattern, chosen: RuleOutOptions, pacer: Pacer, to: number): Promise<DrawRuling> {
  if (chosen.noise !== undefined) checkNumber('noise (mm)', chosen.noise, { min: 0 });
  checkNumber('smoothDeg (degrees)', chosen.smoothDeg, { min: 0, max: 90 });
  const found = await inspectPatternFully(
    pattern,
    partOfProgress({ signal: chosen.signal, onProgress: pacer.report }, 0, 0.5 * to),
  );
  return rulingFrom(pattern, found, chosen, pacer, 0.5 * to, to);
}

/** Makes a ruling of a pattern that has been inspected in full; progress runs from `from` to `to`. */
export async function rulingFrom(
  pattern: Pattern,
  { closed, consistent, selfIntersections, degenerateTriangles }: FullInspection,
  { noise: given, smoothDeg }: Pick<RuleOutOptions, 'noise' | 'smoothDeg'>,
  pacer: Pacer,
  from: number,
  to: number,
): Promise<DrawRuling> {
  const at = (part: number): number => from + part * (to - from);
  if (!closed || !consistent || degenerateTriangles > 0) {
    return silent('Nothing is ruled out by faces alone: the surface is not closed, so what is metal is not settled.');
  }
  if (selfIntersections !== 0) {
    return silent('Nothing is ruled out by faces alone: the surface cuts or touches itself.');
  }
  const { positions, triangles } = pattern;
  const edges = listEdges(triangles, positions.length / 3);
  await pacer.step(at(0.1));
  const { count: shells, ofTriangle } = labelShells(triangles, edges);
  await pacer.step(at(0.15));
  // Every shell must part sand from metal: not lie in another's metal, nor be turned inside out.
  for (let shell = 0; shell < shells; shell++) {
    await pacer.step(at(0.15 + (0.2 * shell) / shells));
    if (shells <= MOST_SHELLS && sandBeside(pattern, ofTriangle, shell)) continue;
    return silent('Nothing is ruled out by faces alone: bodies lie in one another, or are too many to tell.');
  }
  await pacer.step(at(0.36));
  const { voids } = surveyShells(pattern);
  await pacer.step(at(0.4));
  const hull = await paceSteps(hullSteps(positions), pacer, at(0.4), at(0.7));
  // What doubles round off far from the origin is always counted.
  const furthest = positions.reduce((most, one) => Math.max(most, Math.abs(one)), 0);
  const noise = Math.max(given ?? NOISE_SHARE * (hull?.diagonal ?? 0), 4 * Number.EPSILON * furthest);
  const sure = await paceSteps(sureFaceSteps(pattern, noise), pacer, at(0.7), at(0.8));
  const lunes = await paceSteps(reentrantSteps(pattern, edges, sure, smoothDeg), pacer, at(0.8), at(0.95));
  await pacer.step(at(0.96));
  const faces = sumFacing(sure.areas, sure.slack);
  await pacer.step(at(0.98));
  return { speaks: true, why: '', voids, edges: lunes, faces, hull: hull && readyHull(hull, noise) };
}

/** The hull, grown by what a corner may lie outside it; the edge of a shadow is no longer than π times the diagonal. */
function readyHull({ areas, off, diagonal }: HullAround, noise: number): NonNullable<DrawRuling['hull']> {
  const reach = off + noise;
  return { faces: sumFacing(areas), reach, around: Math.PI * (diagonal + 2 * off) };
}

const NO_FACES: FacingSums = sumFacing(new Float64Array(0));
const NO_EDGES: ReentrantEdges = {
  count: 0,
  normals: new Float64Array(0),
  slack: new Float64Array(0),
  places: new Float64Array(0),
};

function silent(why: string): DrawRuling {
  return { speaks: false, why, voids: [], edges: NO_EDGES, faces: NO_FACES, hull: null };
}

/**
 * Asks whether a draw certainly holds sand.
 *
 * @param direction Any length but zero; its opposite gets the same answer.
 * @returns What the faces say. Cost: two multiplications and more for each distinct re-entrant edge and each way faces look.
 * @throws OddsideError `bad-direction`.
 */
export function ruleOutDraw(ruling: DrawRuling, direction: Vec3): RuledDraw {
  const d = unitVector(direction);
  const facingMm2 = leastFacing(ruling.faces, d[0], d[1], d[2]);
  const { shadowMm2, reachMm2 } = mostShadow(ruling, d);
  const figures = { direction: d, facingMm2, shadowMm2 };
  const hollow = ruling.voids.at(0);
  if (hollow) return { ...figures, ruledOut: true, by: 'enclosed void', capDeg: 180, where: hollow.where };
  const edge = widestLune(ruling.edges, d);
  // Half of what the areas are, each a radian; the faces' own may be larger by what they may be off.
  const surplus = facingMm2 > shadowMm2 ? degrees((2 * (facingMm2 - shadowMm2)) / reachMm2) : 0;
  if (edge && edge.capDeg >= surplus) return { ...figures, ruledOut: true, by: 're-entrant edge', ...edge };
  if (surplus > 0) return { ...figures, ruledOut: true, by: 'shadow too small', capDeg: surplus, where: null };
  return { ...figures, ruledOut: false, by: null, capDeg: 0, where: null };
}

/** The largest the shadow can be, and the areas whose halves bound how fast surface and shadow change, mm². */
function mostShadow({ hull, faces }: DrawRuling, d: Vec3): { shadowMm2: number; reachMm2: number } {
  if (!hull) return { shadowMm2: Infinity, reachMm2: 1 };
  const shadowMm2 =
    mostFacing(hull.faces, d[0], d[1], d[2]) + hull.reach * hull.around + Math.PI * hull.reach * hull.reach;
  return { shadowMm2, reachMm2: (faces.areaMm2 + hull.faces.areaMm2) * (1 + 1e-6) + faces.slackMm2 };
}

/** The re-entrant edge that holds the widest cap round a draw; `null` where none holds it. */
function widestLune(
  { count, normals, slack, places }: ReentrantEdges,
  d: Vec3,
): { capDeg: number; where: Vec3 } | null {
  let [best, most] = [-1, 0];
  for (let e = 0, i = 0; e < count; e++, i += 6) {
    const a = normals[i] * d[0] + normals[i + 1] * d[1] + normals[i + 2] * d[2];
    const b = normals[i + 3] * d[0] + normals[i + 4] * d[1] + normals[i + 5] * d[2];
    if (a * b >= 0) continue;
    const room = Math.min(Math.abs(a) - slack[2 * e], Math.abs(b) - slack[2 * e + 1]);
    if (room > most) [best, most] = [e, room];
  }
  // An angle is no less than the difference of the sines it spans.
  return best < 0
    ? null
    : { capDeg: degrees(most), where: [places[3 * best], places[3 * best + 1], places[3 * best + 2]] };
}
