/**
 * The follow board (odd-side): a block shaped to the parting surface, with a nest in which the pattern beds down to its
 * parting line. The founder rams the other half of the mould on it instead of digging a false cope.
 *
 * Where a free-form joint steps more steeply than the sand lifts off, the board's face leans the step over, and says what the
 * pattern's rim does not let it lean.
 *
 * The nest is the pattern's own half with clearance. Clearance is made by moving the half sideways in four directions and
 * deeper, and taking all of it away: along any wall it is at least what was asked for, and at most 1.7 times that.
 */
import {
  OddsideError, checkNumber, plainNumber, resolveOptions, scale, startPacing, type Bounds, type Finding, type TaskOptions, type Vec3,
} from '@oddside/core'; // prettier-ignore
import type { Pattern } from '@oddside/pattern';
import { boardHalf } from './board-half.js';
import { blockBody, drawnIn, planOf, type Plan } from './board-block.js';
import { STAND_SAND, THIN_WALL_DEFAULTS, checkThinWalls, checkWallLimits } from './check-thin-walls.js';
import { patternOf } from './convert-body.js';
import { checkBed, cutToBed, type PrinterBed } from './cut-to-bed.js';
import { easeSteps, nodesInShadow } from './ease-steps.js';
import { flipJoint } from './flip-joint.js';
import { frameColumns } from './frame-columns.js';
import { frameJoint, type FramedJoint } from './frame-joint.js';
import { hollowBack, type HollowBoard } from './hollow-board.js';
import type { Joint } from './joint.js';
import type { HalfKeeper } from './kept-halves.js';
import type { Body, Kernel } from './kernel.js';
import { measureSteps, stepFindings, type BoardSteps } from './measure-steps.js';
import { inScope, type Scope } from './own-bodies.js';
import { frameDraw, roundingErrorMm3, type FramedDraw } from './prepare-draw.js';
import { framedMeshOf } from './solid-mesh.js';

/** What `followBoard` takes. */
export interface FollowBoardOptions extends TaskOptions {
  readonly joint: Joint;
  /** Which half of the pattern beds in the board. `cope`: the drag is rammed on it. Default `cope`; `drag` is its mirror. */
  readonly beds: 'cope' | 'drag';
  /** Inside of the flask across the draw, mm; the board is smaller by the fit all round. Default: pattern and margin. */
  readonly flask: { readonly length: number; readonly width: number } | undefined;
  /** Board round the pattern where no flask is given, mm. Default 25. */
  readonly margin: number;
  /** Room between board and flask, mm each side. Default 0.5. */
  readonly fit: number;
  /** Room between pattern and nest, mm. Default 0.3 (common practice for printed parts, no source). */
  readonly clearance: number;
  /** Least board under the nest, mm. Default 6. */
  readonly base: number;
  /**
   * Draft of the board's own steps, degrees, 0–45: a free-form joint that stands steeper is leant over as far as the pattern
   * lets it, and what stays steeper is told. 0: left as it is, and not told. Default 5 (common practice for steps of a
   * joint, no source).
   */
  readonly stepDraftDeg: number;
  /** Taper of the board's sides towards its face, degrees, 0–20. Default 0: they lie against the flask, and the fit is their room. */
  readonly wallDraftDeg: number;
  /** Hollow the back out. Default solid. */
  readonly hollow: HollowBoard | undefined;
  /** Cut the board to a printer's bed, with keys. Default none. */
  readonly bed: PrinterBed | undefined;
  /** Walls of the board, or of its pieces, thinner than this are told as too thin to print, mm; 0: not looked for. Default 1.2 (common practice, no source). */
  readonly printWall: number;
  /** Sand between steps of a free-form joint thinner than this is told as too thin to stand, mm; 0: not looked for. Default 3 (common practice, no source). */
  readonly standSand: number;
}

/** Defaults of `followBoard`; the joint has none. */
export const FOLLOW_BOARD_DEFAULTS: Omit<FollowBoardOptions, 'joint'> = Object.freeze({
  beds: 'cope',
  flask: undefined,
  margin: 25,
  fit: 0.5,
  clearance: 0.3,
  base: 6,
  stepDraftDeg: 5,
  wallDraftDeg: 0,
  hollow: undefined,
  bed: undefined,
  printWall: THIN_WALL_DEFAULTS.printWall,
  standSand: STAND_SAND,
  signal: undefined,
  onProgress: undefined,
});

/** A follow board, in the pattern's coordinates. */
export interface FollowBoard {
  readonly board: Pattern;
  /** Its pieces and loose keys, where a bed was given. */
  readonly pieces: readonly Pattern[];
  readonly keys: readonly Pattern[];
  /** block − nest − hollow = board; each mm³. */
  readonly volumes: {
    readonly blockMm3: number;
    readonly nestMm3: number;
    readonly hollowMm3: number;
    readonly boardMm3: number;
    readonly errorMm3: number;
  };
  /** Length and width of its back, across the draw, and thickness along it, mm. */
  readonly size: Vec3;
  /** The joint that its face has: the one that came, or that one with its steps leant over. Mould and other tools need this one. */
  readonly joint: Joint;
  /** The walls of its own steps, against `stepDraftDeg`. */
  readonly steps: BoardSteps;
  readonly findings: readonly Finding[];
}

/** See {@link FollowBoardOptions}. @throws OddsideError `bad-pattern`, `bad-direction`, `bad-number`, `bad-option`, `infeasible`. */
export async function followBoard(
  kernel: Kernel,
  pattern: Pattern,
  direction: Vec3,
  given: Partial<FollowBoardOptions> & Pick<FollowBoardOptions, 'joint'>,
  kept?: HalfKeeper,
): Promise<FollowBoard> {
  const defaults: FollowBoardOptions = { ...FOLLOW_BOARD_DEFAULTS, joint: given?.joint };
  const options = resolveOptions('followBoard', defaults, given);
  checkOptions(options);
  const pacer = startPacing(options);
  const turned = options.beds === 'drag';
  return inScope(kernel, async (scope) => {
    const draw = frameDraw(pattern, turned ? scale(direction, -1) : direction);
    const columns = frameColumns(draw.frame, pattern, 256);
    const asked = turned && options.joint ? flipJoint(options.joint) : options.joint;
    frameJoint(draw.frame, asked);
    const eased =
      asked?.kind === 'surface' && options.stepDraftDeg > 0
        ? easeSteps(asked, nodesInShadow(asked, draw.frame, columns), options.stepDraftDeg)
        : asked;
    const joint = frameJoint(draw.frame, eased);
    await pacer.step(0.1);
    // A little of the other half comes along, so that a half moved sideways leaves no film on a sloping joint.
    const before = kept?.find(pattern, draw.frame, joint.level) ?? null;
    const { half, errorMm3 } = boardHalf(scope, draw, joint, 4 * options.clearance, before);
    await pacer.step(0.4);
    const plan = planOf(draw.mesh.box, options);
    const top = Math.max(draw.mesh.box.max[2] + options.clearance, joint.highestOver(...plan)) + options.base;
    const low = joint.lowestOver(...plan);
    const face = drawnIn(plan, top - low, options.wallDraftDeg);
    const block = joint.over(scope, blockBody(scope, plan, low - 1, top, options.wallDraftDeg));
    const nested = cutNest(scope, block, half, options.clearance);
    await pacer.step(0.7);
    const steps = measureSteps(framedMeshOf(nested), {
      frame: draw.frame,
      pattern,
      joint,
      draftDeg: options.stepDraftDeg,
      wallDraftDeg: options.wallDraftDeg,
      reach: tearsSand(draw, joint) ? 2 * options.clearance + NEST_NEAR * (top - low) : null,
    });
    const cavity = options.hollow
      ? hollowBack(scope, columns, joint, face, top, options.clearance, options.hollow)
      : null;
    const board = cavity ? scope.cut(nested, cavity) : nested;
    await pacer.step(0.85);
    const cut = options.bed ? cutToBed(scope, board, options.bed, options.fit / 2) : null;
    const { min, max } = board.boundingBox();
    const [blockMm3, nestedMm3, boardMm3] = [block.volume(), nested.volume(), board.volume()];
    const made = {
      board: patternOf(draw.frame, board, `${pattern.name} follow board`),
      pieces: (cut?.pieces ?? []).map((piece, n) => patternOf(draw.frame, piece, `follow board piece ${n + 1}`)),
      keys: (cut?.keys ?? []).map((key, n) => patternOf(draw.frame, key, `key ${n + 1}`)),
    };
    const { signal, printWall, standSand } = options;
    // The sand round the pattern is its own affair; the block without its nest has the joint's steps alone.
    const stepped =
      joint.plane || standSand === 0 ? null : patternOf(draw.frame, block, `${pattern.name} follow board`);
    const toPrint = cut ? made.pieces : [made.board];
    const result: FollowBoard = {
      ...made,
      volumes: {
        blockMm3,
        nestMm3: blockMm3 - nestedMm3,
        hollowMm3: nestedMm3 - boardMm3,
        boardMm3,
        errorMm3: errorMm3 + roundingErrorMm3(board),
      },
      joint: eased === asked ? options.joint : turned ? flipJoint(eased) : eased,
      steps,
      size: [max[0] - min[0], max[1] - min[1], max[2] - min[2]],
      findings: [
        ...thinRims(draw.mesh.box, face, options),
        ...stepFindings(steps, options.stepDraftDeg),
        ...(cut?.findings ?? []),
        ...(await checkThinWalls(toPrint, { printWall, signal })),
        ...(await checkThinWalls([stepped], { printWall: 0, standSand, signal })),
      ],
    };
    pacer.finish();
    return result;
  });
}

function checkOptions(options: FollowBoardOptions): void {
  if (options.beds !== 'cope' && options.beds !== 'drag') {
    throw new OddsideError('bad-option', `beds must be "cope" or "drag", but ${JSON.stringify(options.beds)} came.`);
  }
  checkNumber('margin (mm)', options.margin, { min: 0 });
  checkNumber('fit (mm)', options.fit, { min: 0, max: 10 });
  checkNumber('clearance (mm)', options.clearance, { min: 0, max: 5 });
  checkNumber('stepDraftDeg (degrees)', options.stepDraftDeg, { min: 0, max: 45 });
  checkNumber('wallDraftDeg (degrees)', options.wallDraftDeg, { min: 0, max: 20 });
  checkNumber('base (mm)', options.base, { min: 0, above: true });
  if (options.flask) {
    checkNumber('flask.length (mm)', options.flask.length, { min: 0, above: true });
    checkNumber('flask.width (mm)', options.flask.width, { min: 0, above: true });
  }
  if (options.bed) checkBed(options.bed);
  checkWallLimits(options);
}

/** A nest wall nearer to the pattern than this share of the board's thickness, past the clearance, is the pattern's. */
const NEST_NEAR = 0.005;
/** Share of the shadow that may look down over the joint before nest walls are looked at: less is the roughness of a scan. */
const TORN_SHARE = 1e-4;

/** Does any of the pattern look down over the joint, so that its half is filled and the nest wider than the pattern? */
function tearsSand({ mesh: { points: p, triangles, box, rounding }, sides }: FramedDraw, joint: FramedJoint): boolean {
  const least = TORN_SHARE * (box.max[0] - box.min[0]) * (box.max[1] - box.min[1]);
  let torn = 0;
  for (const t of sides.down) {
    const [a, b, c] = [3 * triangles[3 * t], 3 * triangles[3 * t + 1], 3 * triangles[3 * t + 2]];
    const [x, y, z] = [0, 1, 2].map((k) => (p[a + k] + p[b + k] + p[c + k]) / 3);
    if (z <= joint.heightAt(x, y) + 64 * rounding) continue;
    torn += Math.abs((p[b] - p[a]) * (p[c + 1] - p[a + 1]) - (p[b + 1] - p[a + 1]) * (p[c] - p[a])) / 2;
    if (torn > least) return true;
  }
  return false;
}

/** The block less the half that beds in it, moved all ways by the clearance. */
function cutNest(scope: Scope, block: Body, half: Body, clearance: number): Body {
  if (half.isEmpty()) return block;
  if (clearance === 0) return scope.cut(block, half);
  // Ripples far finer than the clearance need not be moved with it; what they may lose is added to the move.
  const ripple = clearance / 5;
  const smooth = scope.own(half.simplify(ripple));
  const reach = (clearance + ripple) * Math.SQRT1_2;
  // Two ways along each diagonal, one diagonal after the other: together the four ways along the axes.
  const alongOne = bothWays(scope, smooth, [reach, reach, (clearance + ripple) / 2]);
  const alongBoth = bothWays(scope, alongOne, [reach, -reach, (clearance + ripple) / 2]);
  // The half itself comes last: of what is left it only cuts where it is thinner than the moves are long.
  const nested = scope.cut(block, alongBoth);
  const board = scope.cut(nested, half);
  for (const each of [smooth, alongOne, alongBoth, nested]) scope.free(each);
  return board;
}

/** A body moved one way and the other across the draw, and up both times, as one. */
function bothWays(scope: Scope, body: Body, [x, y, up]: Vec3): Body {
  const moved = [scope.move(body, [x, y, up]), scope.move(body, [-x, -y, up])];
  const both = scope.unite(moved);
  for (const each of moved) scope.free(each);
  return both;
}

/** Board thinner than this beside the pattern breaks off, mm (common practice for printed boards, no source). */
const THINNEST_RIM = 3;

function thinRims({ min, max }: Bounds, plan: Plan, { clearance }: FollowBoardOptions): Finding[] {
  const rim = Math.min(min[0] - plan[0], min[1] - plan[1], plan[2] - max[0], plan[3] - max[1]) - clearance;
  if (rim >= THINNEST_RIM) return [];
  return [
    {
      code: 'thin-board',
      severity: rim < 0 ? 'problem' : 'warning',
      message: `Only ${plainNumber(rim)} mm of board is left between the nest and the board’s edge; ${THINNEST_RIM} mm were expected.`,
      remedy: 'Use a larger flask, or turn the pattern in it.',
    },
  ];
}
