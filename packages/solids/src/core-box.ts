/** A core box in two halves: a block round a core, parted where the core itself draws, open at the end of a print. */
import { checkNumber, dot, plainNumber, type Finding, type Vec3 } from '@oddside/core';
import { assessDraw, boxCentre, sampleDirections } from '@oddside/parting';
import type { Pattern } from '@oddside/pattern';
import { bodyOf, boxBody, growBox, patternOf } from './convert-body.js';
import { frameMesh, type DrawFrame } from './draw-frame.js';
import { planeJoint } from './frame-joint.js';
import type { Body, Kernel } from './kernel.js';
import type { Scope } from './own-bodies.js';
import { dowelBody, dowelOf, type Dowel, type PlacedDowel } from './place-dowels.js';
import { proveDraw, type DrawProof } from './prove-draw.js';

/** A core box, in the pattern's own coordinates: its halves lie round the core. */
export interface CoreBox {
  /** The half on the side that `direction` points to, and the other; with holes for dowels. */
  readonly over: Pattern;
  readonly under: Pattern;
  /** The halves come off the core along this and its opposite; across it they part, at this height from the file's origin, mm. */
  readonly direction: Vec3;
  readonly joint: number;
  readonly dowels: readonly Dowel[];
  readonly dowelSolids: readonly Pattern[];
  /**
   * Where it is open for ramming: the middle of a print's end, and the way out. `null` for a core that runs all round: it
   * is rammed in both halves of the box, struck off along the joint, and pasted together.
   */
  readonly opening: { readonly where: Vec3; readonly direction: Vec3 } | null;
  /** Halves + core + dowel holes = block; each mm³. */
  readonly volumes: {
    readonly blockMm3: number;
    readonly overMm3: number;
    readonly underMm3: number;
    readonly holesMm3: number;
  };
  /** The halves taken off the core. */
  readonly proof: DrawProof;
}

export interface CoreBoxWish {
  /** Wall of the box, mm. */
  readonly boxWall: number;
  readonly clearance: number;
}

/** Columns across a core when its draw is sought. */
const COLUMNS = 96;
/** Directions tried where none along the core's own axes draws. */
const SAMPLES = 120;
/** Share of a core that a joint found on columns may trap: it is sought further by exact solids. */
const NEARLY = 1e-3;

/**
 * Makes the box of a core.
 *
 * @param ways Directions of the file that the core is likely to draw along, likeliest first.
 * @param opening End of the print through which it is rammed; `null` where the box stays shut all round.
 */
export async function makeCoreBox(
  kernel: Kernel,
  scope: Scope,
  core: Pattern,
  ways: readonly Vec3[],
  opening: CoreBox['opening'],
  { boxWall, clearance }: CoreBoxWish,
): Promise<{ box: CoreBox; findings: Finding[] }> {
  const way = chooseDraw(core, ways);
  const frame = boxFrame(core, way, opening?.direction ?? way);
  const { joint, proof } = await chooseJoint(kernel, core, frame);
  const mesh = frameMesh(frame, core);
  const body = bodyOf(scope, mesh, 'A core');
  const block = openedAt(scope, boxBody(scope, growBox(mesh.box, boxWall)), frame, opening);
  const hollow = scope.cut(block, body);
  const plane = planeJoint([0, 0, 1], joint - frame.base);
  const placed = dowelsIn(block, joint - frame.base, boxWall, clearance);
  const holes = scope.unite(placed.map((dowel) => dowelBody(scope, dowel, clearance)));
  const drilled = scope.cut(hollow, holes);
  const [over, under] = [plane.over(scope, drilled), plane.under(scope, drilled)];
  return {
    box: {
      over: patternOf(frame, over, `${core.name} box, upper half`),
      under: patternOf(frame, under, `${core.name} box, lower half`),
      direction: frame.d,
      joint,
      dowels: placed.map((dowel) => dowelOf(frame, dowel)),
      dowelSolids: placed.map((dowel, n) =>
        patternOf(frame, dowelBody(scope, dowel), `${core.name} box dowel ${n + 1}`),
      ),
      opening,
      volumes: {
        blockMm3: block.volume(),
        overMm3: over.volume(),
        underMm3: under.volume(),
        holesMm3: hollow.volume() - drilled.volume(),
      },
      proof,
    },
    findings: proof.draws ? [] : [boxTears(core, proof)],
  };
}

/** A block cut off where a print ends. */
function openedAt(scope: Scope, block: Body, frame: DrawFrame, opening: CoreBox['opening']): Body {
  if (!opening) return block;
  const { where, direction } = opening;
  const [x, y, z] = [frame.u, frame.v, frame.d].map((axis) => dot(axis, direction));
  const end = dot(where, direction) - dot(frame.origin, direction);
  return scope.trim(block, [-x, -y, -z], -end);
}

/** Checks what a box is asked to be. */
export function checkBoxWish({ boxWall, clearance }: CoreBoxWish): void {
  checkNumber('boxWall (mm)', boxWall, { min: 1, max: 200 });
  checkNumber('clearance (mm)', clearance, { min: 0, max: 5 });
}

/** Share of a wall that the thicker dowel takes, and the thickest used, mm (common practice, no source). */
const DOWEL = Object.freeze({ share: 0.35, thickest: 8 });

/** Two dowels in opposite corners of the walls, which no core reaches: one thinner, so that the box closes one way only. */
function dowelsIn(block: Body, z: number, wall: number, clearance: number): PlacedDowel[] {
  const { min, max } = block.boundingBox();
  const radius = Math.min(DOWEL.thickest, DOWEL.share * wall) / 2;
  const rest = 0.2 * wall;
  const depth = Math.max(rest, Math.min(4 * radius, z - min[2] - rest, max[2] - z - rest) - clearance);
  return [
    { x: min[0] + wall / 2, y: min[1] + wall / 2, z, radius, depth },
    { x: max[0] - wall / 2, y: max[1] - wall / 2, z, radius: 0.8 * radius, depth },
  ];
}

/** The way along which a level joint traps least of the core: the first of the likely ones that is clean, else of many. */
function chooseDraw(core: Pattern, ways: readonly Vec3[]): Vec3 {
  let best = ways[0];
  let least = Infinity;
  const ask = (way: Vec3): boolean => {
    const { backDraftMm3, flat, solidMm3 } = assessDraw(core, way, { columns: COLUMNS });
    const trapped = (backDraftMm3 + flat.misfitMm3) / Math.max(solidMm3, 1e-12);
    if (trapped < least - NEARLY) [best, least] = [way, trapped];
    return least <= NEARLY;
  };
  if (ways.some(ask)) return best;
  sampleDirections(SAMPLES).some(ask);
  return best;
}

function boxFrame(core: Pattern, d: Vec3, out: Vec3): DrawFrame {
  const origin = boxCentre(core.positions);
  const along = dot(out, d);
  const level: Vec3 = [out[0] - along * d[0], out[1] - along * d[1], out[2] - along * d[2]];
  const size = Math.hypot(...level);
  const u: Vec3 = size > 1e-6 ? [level[0] / size, level[1] / size, level[2] / size] : sideways(d);
  const v: Vec3 = [d[1] * u[2] - d[2] * u[1], d[2] * u[0] - d[0] * u[2], d[0] * u[1] - d[1] * u[0]];
  return { d, u, v, origin, base: dot(origin, d) };
}

function sideways(d: Vec3): Vec3 {
  const least = [0, 1, 2].reduce((k, n) => (Math.abs(d[n]) < Math.abs(d[k]) ? n : k), 0);
  const axis = [0, 1, 2].map((k) => Number(k === least) - d[least] * d[k]);
  const size = Math.hypot(...axis);
  return [axis[0] / size, axis[1] / size, axis[2] / size];
}

/** The level joint that traps least by exact solids: where the columns have it, through the middle, or round either. */
async function chooseJoint(
  kernel: Kernel,
  core: Pattern,
  frame: DrawFrame,
): Promise<{ joint: number; proof: DrawProof }> {
  const { flat, column } = assessDraw(core, frame.d, { columns: COLUMNS });
  const heights = [frame.base, flat.height, flat.low, flat.high, flat.height - column / 2, flat.height + column / 2];
  let best: { joint: number; proof: DrawProof } | null = null;
  for (const height of new Set(heights)) {
    const proof = await proveDraw(kernel, core, frame.d, { joint: { kind: 'level', height }, steps: 0 });
    if (!best || proof.trappedMm3 < best.proof.trappedMm3) best = { joint: height, proof };
    if (best.proof.draws) break;
  }
  return best!;
}

function boxTears(core: Pattern, { trappedMm3 }: DrawProof): Finding {
  return {
    code: 'core-box-tears',
    severity: 'warning',
    message: `The box of ${core.name} does not come off it along any flat joint tried: ${plainNumber(trappedMm3)} mm³ of the core is torn.`,
    remedy: 'Ease the box where it tears, make the core in parts that are glued, or print it in sand.',
  };
}
