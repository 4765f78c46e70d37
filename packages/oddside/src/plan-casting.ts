/** The whole job in one call: from a scan to how it lies, where it parts, what is trapped and what to melt. */
import {
  checkNumber,
  dot,
  gravestFirst,
  OddsideError,
  partOfProgress,
  resolveOptions,
  startPacing,
  type Finding,
  type TaskOptions,
  type Vec3,
} from '@oddside/core';
import { castingFromPattern, findAlloy, patternFromCasting, type Alloy } from '@oddside/foundry';
import { fitFlask, suggestRemedies, type FlaskFits, type FlaskSize, type PartingCandidate } from '@oddside/parting';
import type { JobSand } from '@oddside/card';
import { readPattern, transformPattern, type Measures, type Pattern, type PatternSource } from '@oddside/pattern';
import { JOB_UNITS, type CastingJob, type JobRemedy } from './casting-job.js';
import { adviseWays, chooseWay } from './choose-way.js';
import { layPattern, type LaidPattern } from './lay-pattern.js';
import { planPouring } from './plan-pouring.js';
import { PLAN_CASTING_DEFAULTS, type PlanCastingOptions } from './plan-options.js';
import { settlePattern } from './settle-pattern.js';
import { shapeJoint } from './shape-joint.js';
import { NOTHING_SHOWN, showJob } from './show-job.js';

/**
 * Plans a casting.
 *
 * @param source Path, URL, Blob, bytes, or a pattern that has been read already.
 * @returns The job. Cost: reading, plus the advice (see `advisePartings`), plus about a second for the pictures.
 * @throws OddsideError `unknown-alloy`, `bad-option`, `bad-number`, `infeasible` where limits or wishes leave no way, and
 *   whatever reading the file throws; the signal's reason when aborted.
 */
export async function planCasting(source: PatternSource | Pattern, options: PlanCastingOptions): Promise<CastingJob> {
  const given = resolveOptions('planCasting', PLAN_CASTING_DEFAULTS, options);
  const alloy = alloyOf(given.alloy);
  const { signal } = given;
  const pacer = startPacing(given);
  const read = await patternOf(source, given, { signal, onProgress: pacer.report });
  const settled = await settlePattern(read, given.mend!, given);
  const { pattern, inspection, measures } = settled;
  await pacer.step(0.15);

  const sizes = scalesOf(measures, given, alloy);
  const rammed = sizes.patternScale === 1 ? pattern : transformPattern(pattern, { scale: sizes.patternScale });
  const mended = settled.mending.length > 0;
  const task = partOfProgress({ signal, onProgress: pacer.report }, 0.15, 0.8);
  const advice = await adviseWays(rammed, sizes.patternScale, mended, given, task);
  const candidate = await chooseWay(advice, rammed, sizes.patternScale, mended, given, { signal: given.signal });
  const { assessment, direction } = candidate;
  await pacer.step(0.8);
  const laid = layPattern(rammed, direction, assessment.flat.height);
  await pacer.step(0.81);
  const { line, surface } = await shapeJoint(laid.pattern, assessment, pacer, signal);
  await pacer.step(0.84);

  const castingVolumeMm3 = measures.volumeMm3 * sizes.castingScale ** 3;
  const castingVolumeErrorMm3 = measures.volumeErrorMm3 * sizes.castingScale ** 3;
  const { metal, pour, sand } = planPouring({
    alloy,
    laid: laid.pattern,
    size: laid.size,
    copeDepth: assessment.copeDepth,
    dragDepth: assessment.dragDepth,
    castingVolumeMm3: checkVolume(castingVolumeMm3),
    castingVolumeErrorMm3,
    castingAreaMm2: measures.areaMm2 * sizes.castingScale ** 2,
    yieldFraction: given.yieldFraction,
    crucibleNumber: given.crucibleNumber,
  });
  const remedies = await remediesFor(rammed, candidate, laid, given);
  await pacer.step(0.85);
  const flasks = given.flasks ? fitFlasks(rammed, candidate, given.flasks, sand) : null;
  const shrink = sizes.castingScale / sizes.patternScale;
  await pacer.step(0.855);
  const shown =
    given.picturePx === 0
      ? NOTHING_SHOWN
      : await showJob(laid, line, candidate, advice, surface.slopeLimitDeg, given, pacer);
  pacer.finish();
  return {
    pattern,
    mending: settled.mending,
    laid: laid.pattern,
    line,
    surface,
    remedies,
    flasks,
    inspection,
    measures,
    advice,
    sizes: {
      meshIs: given.meshIs!,
      ...sizes,
      pattern: laid.size,
      casting: [laid.size[0] * shrink, laid.size[1] * shrink, laid.size[2] * shrink],
      patternVolumeMm3: measures.volumeMm3 * sizes.patternScale ** 3,
      castingVolumeMm3,
      castingVolumeErrorMm3,
    },
    mould: {
      candidate,
      direction,
      joint: assessment.flat,
      copeDepth: assessment.copeDepth,
      dragDepth: assessment.dragDepth,
      sand,
    },
    alloyName: alloy.name,
    metal,
    pour,
    ...shown,
    findings: gatherFindings([
      settled.findings,
      advice.findings,
      assessment.findings,
      line.findings,
      surface.findings,
      metal.findings,
      pour.plan.findings,
      pour.lift.findings,
      pour.weights.findings,
      sand.margins.findings,
      sand.sand.findings,
      pour.heat.findings,
      pour.shakeOut.findings,
      sizes.findings,
    ]),
    cautions: metal.cautions,
    banner: metal.banner,
    show: given.show!,
    units: JOB_UNITS,
  };
}

type Given = typeof PLAN_CASTING_DEFAULTS;

function alloyOf(alloy: string | Alloy | undefined): Alloy {
  if (alloy === undefined) {
    throw new OddsideError('bad-option', 'planCasting needs an alloy, such as { alloy: "bz95_5" }; none came.');
  }
  return typeof alloy === 'string' ? findAlloy(alloy) : alloy;
}

async function patternOf(source: PatternSource | Pattern, given: Given, task: TaskOptions): Promise<Pattern> {
  if (typeof source === 'object' && source !== null && 'positions' in source && 'triangles' in source) {
    return given.name === undefined ? source : { ...source, name: given.name };
  }
  return readPattern(source, {
    unit: given.unit,
    format: given.format,
    name: given.name,
    ...partOfProgress(task, 0, 0.1),
  });
}

function scalesOf(
  measures: Measures,
  given: Given,
  alloy: Alloy,
): { patternScale: number; castingScale: number; contraction: Alloy['contraction']; findings: readonly Finding[] } {
  const { meshIs } = given;
  if (meshIs !== 'casting' && meshIs !== 'pattern') {
    throw new OddsideError('bad-option', `meshIs must be "casting" or "pattern", but "${String(meshIs)}" came.`);
  }
  const { min, max } = measures.bounds;
  const longest = Math.max(max[0] - min[0], max[1] - min[1], max[2] - min[2]);
  const asked = given.castingLength;
  if (asked !== undefined) checkNumber('castingLength (mm)', asked, { min: 0, above: true });
  if (meshIs === 'casting' || asked !== undefined) {
    const castingScale = asked === undefined ? 1 : asked / longest;
    const made = patternFromCasting({ alloy, sizes: [longest * castingScale] });
    const findings = made.findings;
    return { patternScale: castingScale * made.scales[0], castingScale, contraction: alloy.contraction, findings };
  }
  const made = castingFromPattern({ alloy, sizes: [longest] });
  return {
    patternScale: 1,
    castingScale: 1 / made.scales[0],
    contraction: alloy.contraction,
    findings: made.findings,
  };
}

/** What can be done about sand that is held; nothing to suggest for a draw that holds none. */
async function remediesFor(
  pattern: Pattern,
  candidate: PartingCandidate,
  { axes, shift }: LaidPattern,
  given: Given,
): Promise<JobRemedy[]> {
  if (candidate.verdict === 'draws-flat') return [];
  const remedies = await suggestRemedies(pattern, candidate.assessment, { signal: given.signal });
  return remedies.map(({ kind, costs, leftMm3, where, sentence, region }) => {
    const at = region ? where : null;
    const laidAt: Vec3 | null = at && ([0, 1, 2].map((k) => dot(axes[k], at) - shift[k]) as [number, number, number]);
    return { kind, costs, leftMm3, where, laidAt, sentence };
  });
}

function fitFlasks(
  pattern: Pattern,
  candidate: PartingCandidate,
  flasks: readonly FlaskSize[],
  { margins }: JobSand,
): FlaskFits {
  return fitFlask(pattern, candidate.direction, candidate.assessment.flat.height, flasks, {
    wallMargin: margins.toWall.value,
    aboveMargin: margins.above.value,
    belowMargin: margins.below.value,
    betweenMargin: margins.betweenPatterns.value,
    sprueRoom: margins.toSprue.value,
  });
}

function checkVolume(volumeMm3: number): number {
  if (volumeMm3 > 0) return volumeMm3;
  throw new OddsideError(
    'bad-pattern',
    'The pattern encloses no volume, so there is nothing to cast. Expected a closed surface; mend the scan or export it as a solid.',
    { volumeMm3 },
  );
}

/** All findings once each, gravest first. */
function gatherFindings(lists: readonly (readonly Finding[])[]): Finding[] {
  const seen = new Set<string>();
  return gravestFirst(lists.flat()).filter((finding) => {
    const key = `${finding.code} ${finding.message}`;
    if (seen.has(key)) return false;
    seen.add(key);
    return true;
  });
}
