/**
 * Which way should the pattern lie? Every draw is tried, coarsely; the best are refined, told apart, and measured in full.
 *
 * Back draft is searched by volume, which changes continuously with the draw; the area held does not.
 */
import {
  checkNumber,
  formatShare,
  plainNumber,
  resolveOptions,
  startPacing,
  type Finding,
  type TaskOptions,
  type UnitSystem,
  type Vec3,
} from '@oddside/core';
import { sketchPattern, type Pattern } from '@oddside/pattern';
import { assessDraw } from './assess-draw.js';
import { castColumns, makeScratch, type CastScratch } from './cast-columns.js';
import { axialAngleDeg, findOwnAxes } from './find-own-axes.js';
import { sumColumns } from './measure-columns.js';
import { candidateOf, preferOwnAxis, ranked, type PartingCandidate } from './make-candidate.js';
import { proveNoDraw, type NoDrawProof } from './prove-no-draw.js';
import { coveringRadiusDeg } from './sample-directions.js';
import { plainRules } from './draw-rules.js';
import { PARTING_WEIGHTS, type PartingWeights } from './parting-weights.js';
import type { PartingScale } from './score-draw.js';
import { searchDraws } from './search-draws.js';
import { surveySurface } from './survey-surface.js';
import type { TriedDraw } from './try-draw.js';

/** What {@link advisePartings} takes. */
export interface AdvisePartingsOptions extends TaskOptions {
  /** Draws sampled evenly, 50–20 000. Default 1000: none is further than 3.8° from a sample, before refinement. */
  readonly samples: number;
  /**
   * The sampling runs on a likeness of about so many triangles, the refinement on one of five times as many, and only the
   * candidates shown on the pattern itself; 0: everything on the pattern. Default 6000.
   */
  readonly searchTriangles: number;
  /** Columns across the shadow while sampling, 16–512. Default 48. */
  readonly searchColumns: number;
  /**
   * Threads to sample with besides this one, 0–64; the outcome is the same bit for bit. Default 0: none. Starting threads
   * takes some 50 ms, which pays for large scans and many samples.
   */
  readonly threads: number;
  /** Columns across the shadow for the candidates that are shown, 2–8192. Default 256. */
  readonly columns: number;
  /** Candidates to return at most, 1–20. Default 5. */
  readonly candidates: number;
  /** Least angle between two candidates' axes, degrees. Default 20. */
  readonly apartDeg: number;
  /** Draft asked for, degrees. Default 2. */
  readonly requiredDraftDeg: number;
  /**
   * Where no candidate leaves the sand, try to prove that none can, see `proveNoDraw`. Default: on patterns of up to 20,000
   * triangles, where it takes well under a second.
   */
  readonly prove: boolean | undefined;
  /** Points per criterion, see {@link PartingWeights}. */
  readonly weights: Partial<PartingWeights>;
  /** Units of the sentences; the numbers are always mm. Default `metric`. */
  readonly show: UnitSystem;
}

/** Defaults of {@link advisePartings}. */
export const ADVISE_PARTINGS_DEFAULTS: AdvisePartingsOptions = Object.freeze({
  samples: 1000,
  searchTriangles: 6000,
  searchColumns: 48,
  threads: 0,
  columns: 256,
  candidates: 5,
  apartDeg: 20,
  requiredDraftDeg: 2,
  prove: undefined,
  weights: PARTING_WEIGHTS,
  show: 'metric',
  signal: undefined,
  onProgress: undefined,
});

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
  readonly ownAxes: number;
  /** No draw is further than this from one that was looked at, degrees, before refinement. */
  readonly coveringRadiusDeg: number;
  readonly searchColumns: number;
  readonly columns: number;
}

/** Advice on how a pattern should lie and part. */
export interface PartingAdvice {
  /** Best first; at least one unless the pattern has no surface. */
  readonly candidates: readonly PartingCandidate[];
  /** Some of the draws not shown and why: near twins of candidates, and own axes that lost. */
  readonly rejected: readonly RejectedDraw[];
  readonly search: SearchRecord;
  /** What could be proved where no candidate leaves the sand; `null` where one does, or where nothing was tried. */
  readonly proof: NoDrawProof | null;
  readonly findings: readonly Finding[];
}

/** Triangles of the likeness for refining over those of the likeness for sampling. */
const REFINE_TIMES = 5;
/** Patterns of up to so many triangles are proved not to draw without being asked. */
const PROVED_UNASKED = 20_000;
/**
 * Searches all draws and returns the best distinct ones.
 *
 * @returns Advice. Cost: one coarse cast per sample (about 5 ns a triangle), then some 60 finer casts per candidate.
 *   Deterministic.
 * @throws OddsideError `bad-option`, `bad-number`; the signal's reason when aborted.
 */
export async function advisePartings(
  pattern: Pattern,
  options?: Partial<AdvisePartingsOptions>,
): Promise<PartingAdvice> {
  const chosen = resolveOptions('advisePartings', ADVISE_PARTINGS_DEFAULTS, options);
  const weights = resolveOptions('advisePartings weights', PARTING_WEIGHTS, chosen.weights);
  checkNumber('samples', chosen.samples, { min: 50, max: 20_000, whole: true });
  checkNumber('searchTriangles', chosen.searchTriangles, { min: 0, max: 10_000_000, whole: true });
  checkNumber('searchColumns', chosen.searchColumns, { min: 16, max: 512, whole: true });
  checkNumber('threads', chosen.threads, { min: 0, max: 64, whole: true });
  checkNumber('candidates', chosen.candidates, { min: 1, max: 20, whole: true });
  checkNumber('apartDeg (degrees)', chosen.apartDeg, { min: 0.1, max: 60 });
  const pacer = startPacing(chosen);
  const survey = surveySurface(pattern);
  const scratch = makeScratch(pattern);
  const scale: PartingScale = { ...survey, volumeMm3: volumeSeen(pattern, scratch) };

  const axes = findOwnAxes(pattern, survey);
  const fine = await likeness(pattern, REFINE_TIMES * chosen.searchTriangles);
  const coarse = await likeness(fine, chosen.searchTriangles);
  await pacer.step(0.02);
  const { tried, refined, cleanest } = await searchDraws(coarse, fine, axes, plainRules(scale, weights), chosen, pacer);
  const sorted = [...refined].sort((a, b) => a.points - b.points);
  const best = cleanest ? [...sorted.slice(0, chosen.candidates - 1), cleanest] : sorted.slice(0, chosen.candidates);
  const shown: PartingCandidate[] = [];
  for (const [i, draw] of best.entries()) {
    const assess = (direction: Vec3, from: TriedDraw['from']): PartingCandidate =>
      candidateOf(assessDraw(pattern, direction, finalOptions(chosen), scratch), from, scale, weights, chosen.show);
    shown.push(preferOwnAxis(assess(draw.direction, draw.from), axes, assess));
    await pacer.step(0.9 + (0.1 * (i + 1)) / best.length);
  }
  const candidates = ranked(shown);
  const cast = tried.length + refined.reduce((sum, draw) => sum + draw.casts, 0);
  const held = candidates.every((candidate) => candidate.verdict === 'held');
  const prove = held && (chosen.prove ?? pattern.triangles.length / 3 <= PROVED_UNASKED);
  const proof = prove ? await proveNoDraw(pattern, { signal: chosen.signal }) : null;
  pacer.finish();
  return {
    candidates,
    rejected: rejectedOf(tried, refined, candidates, scale, chosen.apartDeg),
    search: {
      drawsLookedAt: cast,
      samples: chosen.samples,
      ownAxes: axes.length,
      coveringRadiusDeg: coveringRadiusDeg(chosen.samples),
      searchColumns: chosen.searchColumns,
      columns: chosen.columns,
    },
    proof,
    findings: held ? findingsOf(proof, chosen) : [],
  };
}

/** A likeness of a pattern for searching; the pattern itself where it is small already, or where 0 is asked for. */
async function likeness(pattern: Pattern, triangles: number): Promise<Pattern> {
  // A likeness not much smaller than the pattern is not worth making.
  return triangles === 0 || pattern.triangles.length / 3 < 1.5 * triangles
    ? pattern
    : sketchPattern(pattern, { triangles: Math.max(100, triangles) });
}

/** Scores one draw of the caller's own against the same criteria, as a candidate of rank 0. */
export function candidateAlong(
  pattern: Pattern,
  direction: Vec3,
  options?: Partial<Pick<AdvisePartingsOptions, 'columns' | 'requiredDraftDeg' | 'weights' | 'show'>>,
): PartingCandidate {
  const chosen = resolveOptions('candidateAlong', ADVISE_PARTINGS_DEFAULTS, options);
  const weights = resolveOptions('candidateAlong weights', PARTING_WEIGHTS, chosen.weights);
  const { columns, requiredDraftDeg } = chosen;
  const scratch = makeScratch(pattern);
  const scale: PartingScale = { ...surveySurface(pattern), volumeMm3: volumeSeen(pattern, scratch) };
  const assessment = assessDraw(pattern, direction, { columns, requiredDraftDeg }, scratch);
  return candidateOf(assessment, 'even sampling', scale, weights, chosen.show);
}

/** Volume of the pattern as columns see it along an odd direction: holes in a scan do not upset it as they do integrals. */
function volumeSeen(pattern: Pattern, scratch: CastScratch): number {
  const field = castColumns(pattern, [0.36, 0.48, 0.8], 128, scratch);
  const sums = sumColumns(field);
  return sums.solidMm3 + sums.unknownMm3 / 2;
}

function finalOptions(chosen: AdvisePartingsOptions): { columns: number; requiredDraftDeg: number } {
  return { columns: chosen.columns, requiredDraftDeg: chosen.requiredDraftDeg };
}

function rejectedOf(
  tried: readonly TriedDraw[],
  refined: readonly TriedDraw[],
  candidates: readonly PartingCandidate[],
  scale: PartingScale,
  apartDeg: number,
): RejectedDraw[] {
  const lost = [...refined, ...tried.filter((draw) => draw.from !== 'even sampling')];
  const rejected: RejectedDraw[] = [];
  for (const draw of [...lost].sort((a, b) => a.points - b.points)) {
    if (rejected.length === 12) break;
    if (rejected.some((kept) => axialAngleDeg(kept.direction, draw.direction) < 1)) continue;
    const twin = candidates.find((candidate) => axialAngleDeg(candidate.direction, draw.direction) < apartDeg);
    if (twin && axialAngleDeg(twin.direction, draw.direction) < 0.05) continue;
    rejected.push({
      direction: draw.direction,
      points: draw.points,
      reason: twin
        ? `${plainNumber(axialAngleDeg(twin.direction, draw.direction), 2)}° from candidate ${twin.rank}, which is better.`
        : `Holds ${formatShare(draw.backDraftMm3 / scale.volumeMm3, 2)} of the pattern's volume, and a flat joint traps ${formatShare(draw.misfitMm3 / scale.volumeMm3, 2)} more.`,
    });
  }
  return rejected;
}

function findingsOf(proof: NoDrawProof | null, chosen: AdvisePartingsOptions): Finding[] {
  const remedy = 'Fill the held places, make a loose piece or a core for them, or mould in more than two parts.';
  if (proof?.proved) {
    return [{ code: 'no-draw-exists', severity: 'problem', message: proof.sentence, remedy }];
  }
  const radius = plainNumber(coveringRadiusDeg(chosen.samples), 2);
  return [
    {
      code: 'no-clean-draw',
      severity: 'problem',
      message: `No draw was found that leaves the sand: each one looked at holds more than a smear. The search left no draw more than ${radius}° from one that was tried; that is not a proof.`,
      remedy,
    },
  ];
}
