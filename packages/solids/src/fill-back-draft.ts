/**
 * A pattern with its back draft filled: the smallest solid that holds the pattern and draws. With a joint given it draws
 * along that joint; without, along the best free-form one, which takes the least filling of all.
 */
import { formatVolume, resolveOptions, startPacing, type Finding, type TaskOptions, type Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import { STAND_SAND, THIN_WALL_DEFAULTS, checkThinWalls, checkWallLimits } from './check-thin-walls.js';
import { bodyOf, meshOfBody, patternOf, patternOfMesh } from './convert-body.js';
import { frameJoint } from './frame-joint.js';
import type { Joint } from './joint.js';
import type { Body, Kernel } from './kernel.js';
import { inScope, type Scope } from './own-bodies.js';
import { frameDraw, type FramedDraw } from './prepare-draw.js';
import { fillFromSand } from './sand-round.js';
import { sweepCope, sweepDrag, sweepHeld } from './trap-sand.js';

/** What `fillBackDraft` takes. */
export interface FillBackDraftOptions extends TaskOptions {
  /** The joint along which the filled pattern must draw. Default none: any free-form joint. */
  readonly joint: Joint | undefined;
  /** Walls of the filled pattern thinner than this are told as too thin to print, mm; 0: not looked for. Default 1.2 (common practice, no source). */
  readonly printWall: number;
  /** Sand between its walls thinner than this is told as too thin to stand, mm; 0: not looked for. Default 3 (common practice, no source). */
  readonly standSand: number;
}

/** Defaults of `fillBackDraft`. */
export const FILL_BACK_DRAFT_DEFAULTS: FillBackDraftOptions = Object.freeze({
  joint: undefined,
  printWall: THIN_WALL_DEFAULTS.printWall,
  standSand: STAND_SAND,
  signal: undefined,
  onProgress: undefined,
});

/** A pattern with its back draft filled. */
export interface FilledPattern {
  readonly pattern: Pattern;
  /** The added metal as its own solid, or `null` where nothing was missing. It may be of several pieces. */
  readonly added: Pattern | null;
  readonly addedMm3: number;
  /** How far that can be off for rounding, mm³. */
  readonly errorMm3: number;
  readonly findings: readonly Finding[];
}

/**
 * See {@link FillBackDraftOptions}. To split or bed a pattern give it to `splitPattern` or `followBoard` as it came: they
 * fill by themselves, and more exactly than from a filled pattern read again.
 *
 * @throws OddsideError `bad-pattern`, `bad-direction`, `bad-number`, `bad-option`.
 */
export async function fillBackDraft(
  kernel: Kernel,
  pattern: Pattern,
  direction: Vec3,
  given?: Partial<FillBackDraftOptions>,
): Promise<FilledPattern> {
  const options = resolveOptions('fillBackDraft', FILL_BACK_DRAFT_DEFAULTS, given);
  checkWallLimits(options);
  const pacer = startPacing(options);
  return inScope(kernel, async (scope) => {
    const draw = frameDraw(pattern, direction);
    const { frame, mesh, errorMm3, volumeMm3 } = draw;
    await pacer.step(0.1);
    const filling = sweepFilling(scope, draw, options.joint);
    await pacer.step(0.6);
    const { filled, added } = filling
      ? fillFromSand(scope, mesh, filling)
      : { filled: meshOfBody(bodyOf(scope, mesh)), added: null };
    await pacer.step(0.9);
    const addedMm3 = added ? added.volume() : 0;
    const made = { ...patternOfMesh(frame, filled, `${pattern.name} filled`), unit: pattern.unit };
    const { signal, printWall, standSand } = options;
    const result: FilledPattern = {
      pattern: made,
      added: added && addedMm3 > errorMm3 ? patternOf(frame, added, `${pattern.name} added metal`) : null,
      addedMm3,
      errorMm3,
      findings: [
        ...(addedMm3 > errorMm3 ? [filledSand(addedMm3, volumeMm3)] : []),
        ...(await checkThinWalls([made], { printWall, standSand, signal })),
      ],
    };
    pacer.finish();
    return result;
  });
}

/** What to unite with the pattern so that it draws, or `null` where it does already. It may reach into the metal. */
export function sweepFilling(scope: Scope, { frame, mesh, sides }: FramedDraw, joint: Joint | undefined): Body | null {
  if (!joint) return sweepHeld(scope, mesh, sides, true);
  const framed = frameJoint(frame, joint);
  const parts = [sweepCope(scope, mesh, sides, framed), sweepDrag(scope, mesh, sides, framed)].filter(
    (part) => part !== null,
  );
  return parts.length > 0 ? scope.unite(parts) : null;
}

function filledSand(addedMm3: number, volumeMm3: number): Finding {
  return {
    code: 'back-draft-filled',
    severity: 'note',
    message: `${formatVolume(addedMm3)} of metal was added where the pattern would have torn the sand, ${((100 * addedMm3) / volumeMm3).toPrecision(2)} % of its volume.`,
    remedy: 'Look at the added metal; file it off the casting where it matters, or turn the pattern for less of it.',
  };
}
