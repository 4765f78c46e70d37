/**
 * A pattern with draft on every side: the smallest solid that holds it and tapers from the joint both ways by the draft
 * asked for. Back draft along the joint is filled on the way.
 */
import {
  checkNumber,
  formatVolume,
  radians,
  resolveOptions,
  startPacing,
  type Finding,
  type TaskOptions,
  type Vec3,
} from '@oddside/core';
import { draftedHull } from '@oddside/parting';
import type { Pattern } from '@oddside/pattern';
import { STAND_SAND, THIN_WALL_DEFAULTS, checkThinWalls, checkWallLimits } from './check-thin-walls.js';
import { countHoles } from './count-holes.js';
import { CONE_EXCESS, coneHulls } from './cone-hulls.js';
import { meshOfBody, patternOf } from './convert-body.js';
import { sweepFilling } from './fill-back-draft.js';
import { frameJoint } from './frame-joint.js';
import type { Joint } from './joint.js';
import type { Body, Kernel } from './kernel.js';
import { inScope } from './own-bodies.js';
import { prepareDraw } from './prepare-draw.js';

/** What `addDraft` takes. */
export interface AddDraftOptions extends TaskOptions {
  /** Draft on every side, degrees, above 0 and at most 20. Default 2. */
  readonly draftDeg: number;
  /** The joint from which the draft goes both ways. Default: the level one that needs the least metal, found on columns. */
  readonly joint: Joint | undefined;
  /** Walls of the drafted pattern thinner than this are told as too thin to print, mm; 0: not looked for. Default 1.2 (common practice, no source). */
  readonly printWall: number;
  /** Sand between its walls thinner than this is told as too thin to stand, mm; 0: not looked for. Default 3 (common practice, no source). */
  readonly standSand: number;
}

/** Defaults of `addDraft`. */
export const ADD_DRAFT_DEFAULTS: AddDraftOptions = Object.freeze({
  draftDeg: 2,
  joint: undefined,
  printWall: THIN_WALL_DEFAULTS.printWall,
  standSand: STAND_SAND,
  signal: undefined,
  onProgress: undefined,
});

/** A pattern with draft. */
export interface DraftedPattern {
  readonly pattern: Pattern;
  /** The added metal as its own solid, or `null` where nothing was missing. It may be of several pieces. */
  readonly added: Pattern | null;
  readonly addedMm3: number;
  /**
   * How much less the least could be, mm³: the taper is cut in flats that touch the round one from outside, and coordinates
   * are rounded. Short of the least it is by rounding alone.
   */
  readonly addedErrorMm3: number;
  /** How far at most the tapered faces lie outside the least solid, mm. */
  readonly distance: number;
  readonly draftDeg: number;
  /** The joint used. */
  readonly joint: Joint;
  readonly findings: readonly Finding[];
}

/**
 * See {@link DraftedPattern}. Cost: one convex solid for each edge at which faces too steep end, less those that others
 * cover, and uniting them: 3 to 6 ms an edge. A scan of 60,000 triangles with noise has about 2,000 such edges and takes
 * about 10 s, one of 130,000 has 4,000 and takes 20 s; along a free-form joint the filling adds edges, and the time is three
 * times as long. A smooth surface in four times as many triangles has twice as many edges.
 *
 * @throws OddsideError `bad-pattern`, `bad-direction`, `bad-number`, `bad-option`, `no-triangles`, `infeasible`.
 */
export async function addDraft(
  kernel: Kernel,
  pattern: Pattern,
  direction: Vec3,
  given?: Partial<AddDraftOptions>,
): Promise<DraftedPattern> {
  const options = resolveOptions('addDraft', ADD_DRAFT_DEFAULTS, given);
  const { draftDeg } = options;
  checkNumber('draftDeg (degrees)', draftDeg, { min: 0, max: 20, above: true });
  checkWallLimits(options);
  const tangent = Math.tan(radians(draftDeg));
  const pacer = startPacing(options);
  return inScope(kernel, async (scope) => {
    const draw = prepareDraw(scope, pattern, direction);
    const { frame, body } = draw;
    const joint = options.joint ?? levelJoint(pattern, direction, draftDeg);
    const framed = frameJoint(frame, joint);
    await pacer.step(0.1);
    const filling = sweepFilling(scope, draw, joint);
    const filled = filling ? scope.unite([body, filling]) : body;
    const mesh = filling ? { ...draw.mesh, ...meshOfBody(filled) } : draw.mesh;
    const parts: Body[] = [filled];
    for (const [way, from] of [
      [1, 0.2],
      [-1, 0.5],
    ] as const) {
      const cones = await coneHulls(scope, mesh, framed, tangent, way, (share) => pacer.step(from + 0.3 * share));
      if (cones) parts.push(cones);
    }
    const drafted = scope.unite(parts);
    await pacer.step(0.85);
    const more = drafted === body ? null : scope.cut(drafted, body);
    const addedMm3 = more ? Math.max(0, more.volume()) : 0;
    const isMore = more !== null && !more.isEmpty() && addedMm3 > draw.errorMm3;
    const made = { ...patternOf(frame, drafted, `${pattern.name} drafted`), unit: pattern.unit };
    const { min, max } = draw.mesh.box;
    const closed = isMore ? countHoles(pattern, direction) - countHoles(made, direction) : 0;
    const result: DraftedPattern = {
      pattern: made,
      added: isMore ? patternOf(frame, more, `${pattern.name} added draft`) : null,
      addedMm3,
      // Wider by a share, each level of the taper has at most (1 + share)² of the area (Kneser's bound on outlines grown).
      addedErrorMm3: (1 - (1 + CONE_EXCESS) ** -2) * addedMm3 + draw.errorMm3,
      distance: CONE_EXCESS * tangent * (max[2] - min[2]) + draw.mesh.rounding,
      draftDeg,
      joint,
      findings: [
        ...(isMore ? [draftAdded(addedMm3, body.volume(), draftDeg)] : []),
        ...(closed > 0 ? [holesClosed(closed)] : []),
        ...(await checkThinWalls([made], {
          printWall: options.printWall,
          standSand: options.standSand,
          signal: options.signal,
        })),
      ],
    };
    pacer.finish();
    return result;
  });
}

function levelJoint(pattern: Pattern, direction: Vec3, draftDeg: number): Joint {
  return { kind: 'level', height: draftedHull(pattern, direction, { draftDeg }).flat.height };
}

function draftAdded(addedMm3: number, volumeMm3: number, draftDeg: number): Finding {
  return {
    code: 'draft-added',
    severity: 'note',
    message: `${formatVolume(addedMm3)} of metal was added for ${draftDeg}° of draft, ${((100 * addedMm3) / volumeMm3).toPrecision(2)} % of the pattern’s volume. Outlines grow towards the joint, holes narrow.`,
    remedy: 'Look at the added metal; machine it off where it matters, or ask for less draft.',
  };
}

function holesClosed(count: number): Finding {
  return {
    code: 'hole-closed',
    severity: 'warning',
    message: `The draft closes ${count === 1 ? 'a hole' : `${count} holes`} through the pattern, or leaves less than a 256th of its width of it.`,
    remedy: 'Ask for less draft, set a core there, or drill it in the casting.',
  };
}
