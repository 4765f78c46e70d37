/**
 * The withdrawal proof: each half of the mould is taken off along its draw, and what it tears is told as a solid. It uses
 * no columns, so that it and `assessDraw` check one another.
 *
 * What is exact: the torn sand (see trap-sand.ts), and with it whether the half comes off at all. What is stepped: the
 * list of collisions, which is the torn sand moved by each travel and met with the metal; between two steps nothing is
 * said. What is on the safe side: rapping, which loosens the sand in twelve directions and not in all.
 */
import {
  checkNumber, formatVolume, formatVolumeWithin, partOfProgress, resolveOptions, startPacing,
  type Finding, type TaskOptions, type Vec3,
} from '@oddside/core'; // prettier-ignore
import type { Pattern } from '@oddside/pattern';
import { frameJoint } from './frame-joint.js';
import type { Joint } from './joint.js';
import type { Body, Kernel } from './kernel.js';
import { listPlaces, type SandPlace } from './list-places.js';
import { inScope, type Scope } from './own-bodies.js';
import { prepareDraw, type PreparedDraw } from './prepare-draw.js';
import { sandAndLoss, sweepCope, sweepDrag, sweepHeld } from './trap-sand.js';

/** What `proveDraw` takes. */
export interface ProveDrawOptions extends TaskOptions {
  /** The joint. Default none: the mould may part as it likes, and only held sand is told. */
  readonly joint: Joint | undefined;
  /** Travels at which collisions are told, evenly up to the half's own depth, 0–64. Default 8. */
  readonly steps: number;
  /** Clearances that rapping may give, mm each way in plan, each above 0. Default none. */
  readonly rapping: readonly number[];
}

/** Defaults of `proveDraw`. */
export const PROVE_DRAW_DEFAULTS: ProveDrawOptions = Object.freeze({
  joint: undefined,
  steps: 8,
  rapping: Object.freeze([]),
  signal: undefined,
  onProgress: undefined,
});

/** Torn sand once the pattern has been rapped loose. */
export interface RappedSand {
  /** mm each way in plan. */
  readonly clearance: number;
  readonly trappedMm3: number;
}

/** One part of the mould taken off. */
export interface HalfProof {
  /** Sand torn, mm³; at most the proof's `errorMm3` where the half comes off clean. */
  readonly trappedMm3: number;
  /** How far the half has moved when it first meets metal, mm, and where; `null` where it never does. */
  readonly firstContact: { readonly travel: number; readonly where: Vec3 } | null;
  /** Volume in which sand and metal would coincide after each travel, mm³. */
  readonly steps: readonly { readonly travel: number; readonly collisionMm3: number }[];
  /** What rapping would leave, for each clearance asked. */
  readonly rapping: readonly RappedSand[];
  /** The torn pieces, largest first, at most 20. */
  readonly places: readonly SandPlace[];
}

/** What a withdrawal proof says. */
export interface DrawProof {
  readonly direction: Vec3;
  /** Sand that no joint can free. */
  readonly held: HalfProof;
  /** The halves along the joint given; `null` without one. */
  readonly cope: HalfProof | null;
  readonly drag: HalfProof | null;
  /** Torn in all: by both halves along the joint, or held where no joint was given, mm³. */
  readonly trappedMm3: number;
  /** How far each volume can be off, mm³: for rounding, for what the kernel took out in reading, and for what it lost on the way. */
  readonly errorMm3: number;
  /** True where nothing is torn beyond that. */
  readonly draws: boolean;
  readonly findings: readonly Finding[];
}

/** See {@link ProveDrawOptions}. @throws OddsideError `bad-pattern`, `bad-direction`, `bad-number`, `bad-option`. */
export async function proveDraw(
  kernel: Kernel,
  pattern: Pattern,
  direction: Vec3,
  given?: Partial<ProveDrawOptions>,
): Promise<DrawProof> {
  const options = resolveOptions('proveDraw', PROVE_DRAW_DEFAULTS, given);
  checkNumber('steps', options.steps, { min: 0, max: 64, whole: true });
  for (const clearance of options.rapping) checkNumber('rapping (mm)', clearance, { min: 0, above: true });
  const pacer = startPacing(options);
  return inScope(kernel, async (scope) => {
    const draw = prepareDraw(scope, pattern, direction);
    await pacer.step(0.1);
    let errorMm3 = draw.errorMm3;
    const torn = (swept: Body | null): Body | null => {
      const { sand, lostMm3 } = sandAndLoss(scope, swept, draw.body);
      errorMm3 += lostMm3;
      return sand;
    };
    const held = torn(sweepHeld(scope, draw.mesh, draw.sides));
    await pacer.step(0.3);
    const part = (from: number, to: number): TaskOptions => partOfProgress(options, from, to);
    const heldProof = await proveHalf(scope, draw, held, 1, options, part(0.3, 0.5));
    let cope: HalfProof | null = null;
    let drag: HalfProof | null = null;
    if (options.joint) {
      const joint = frameJoint(draw.frame, options.joint);
      const copeSand = torn(sweepCope(scope, draw.mesh, draw.sides, joint));
      cope = await proveHalf(scope, draw, copeSand, 1, options, part(0.5, 0.75));
      const dragSand = torn(sweepDrag(scope, draw.mesh, draw.sides, joint));
      drag = await proveHalf(scope, draw, dragSand, -1, options, part(0.75, 1));
    }
    const trappedMm3 = cope && drag ? cope.trappedMm3 + drag.trappedMm3 : heldProof.trappedMm3;
    const draws = trappedMm3 <= errorMm3;
    pacer.finish();
    return {
      direction: draw.frame.d,
      held: heldProof,
      cope,
      drag,
      trappedMm3,
      errorMm3,
      draws,
      findings: draws ? [] : [tornSand(heldProof, cope, drag, trappedMm3, errorMm3)],
    };
  });
}

/** Twelve ways evenly round: loosening in them is within 4 % of loosening in all. */
const WAYS = 12;

async function proveHalf(
  scope: Scope,
  draw: PreparedDraw,
  sand: Body | null,
  way: 1 | -1,
  { steps, rapping }: ProveDrawOptions,
  task: TaskOptions,
): Promise<HalfProof> {
  const pacer = startPacing(task);
  const trappedMm3 = sand ? sand.volume() : 0;
  const places = sand ? listPlaces(scope, draw.frame, sand) : [];
  const depth = draw.mesh.box.max[2] - draw.mesh.box.min[2];
  const travels = Array.from({ length: steps }, (_, k) => ((k + 1) / steps) * depth);
  const collisions: { travel: number; collisionMm3: number }[] = [];
  for (const travel of travels) {
    collisions.push({ travel, collisionMm3: sand ? collisionAt(scope, draw.body, sand, way * travel) : 0 });
    await pacer.step(collisions.length / (steps + rapping.length));
  }
  const rapped: RappedSand[] = [];
  for (const clearance of rapping) {
    rapped.push({ clearance, trappedMm3: sand ? loosened(scope, draw.body, sand, clearance) : 0 });
    await pacer.step((steps + rapped.length) / (steps + rapping.length));
  }
  // Torn sand lies against the metal that tears it, so contact is at once; without any there is none at all.
  const first = trappedMm3 > draw.errorMm3 && places.length > 0 ? { travel: 0, where: places[0].where } : null;
  return { trappedMm3, firstContact: first, steps: collisions, rapping: rapped, places };
}

function collisionAt(scope: Scope, metal: Body, sand: Body, travel: number): number {
  const moved = scope.move(sand, [0, 0, travel]);
  const both = scope.meet(moved, metal);
  const volume = both.volume();
  scope.free(moved);
  scope.free(both);
  return volume;
}

/** The torn sand that is left when the metal has been knocked against the sand by a clearance each way in plan. */
function loosened(scope: Scope, metal: Body, sand: Body, clearance: number): number {
  let left = sand;
  for (let k = 0; k < WAYS && !left.isEmpty(); k++) {
    const turn = (2 * Math.PI * k) / WAYS;
    const moved = scope.move(metal, [clearance * Math.cos(turn), clearance * Math.sin(turn), 0]);
    const next = scope.cut(left, moved);
    scope.free(moved);
    if (left !== sand) scope.free(left);
    left = next;
  }
  return left.volume();
}

function tornSand(
  held: HalfProof,
  cope: HalfProof | null,
  drag: HalfProof | null,
  trappedMm3: number,
  errorMm3: number,
): Finding {
  const worst = [held, cope, drag].find((half) => half?.firstContact)?.firstContact;
  const ofHeld = held.trappedMm3 > errorMm3 ? `; no joint can free ${formatVolume(held.trappedMm3)} of it` : '';
  return {
    code: 'torn-sand',
    severity: 'problem',
    message: `Taking the mould off the pattern tears ${formatVolumeWithin(trappedMm3, errorMm3)} of sand${ofHeld}.`,
    ...(worst ? { where: worst.where } : {}),
    remedy: ofHeld
      ? 'Turn the pattern, fill its back draft, or make the held regions as loose pieces or cores.'
      : 'Move the joint, shape it to the pattern, or fill what is torn.',
  };
}
