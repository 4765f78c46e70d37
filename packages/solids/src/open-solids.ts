/** The door to the solids: one kernel, opened once, passed explicitly. */
import { OddsideError, isOddsideError, type Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import { addDraft, type AddDraftOptions, type DraftedPattern } from './add-draft.js';
import { fillBackDraft, type FillBackDraftOptions, type FilledPattern } from './fill-back-draft.js';
import { followBoard, type FollowBoard, type FollowBoardOptions } from './follow-board.js';
import type { Kernel } from './kernel.js';
import { KeptHalves } from './kept-halves.js';
import { loosePieces, type LoosePieces, type LoosePiecesOptions } from './loose-pieces.js';
import { makeCores, type CoresMade, type MakeCoresOptions } from './make-cores.js';
import { makeSolid, type MakeSolidOptions, type SolidMade } from './make-solid.js';
import { mouldHalves, type MouldHalves, type MouldHalvesOptions } from './mould-halves.js';
import { sharedKernel, type KernelKeeper } from './open-kernel.js';
import { kernelError, statusOf } from './own-bodies.js';
import { scalePattern, type ScaledPattern, type ScalePatternOptions } from './scale-pattern.js';
import { splitPattern, type SplitPattern, type SplitPatternOptions } from './split-pattern.js';
import { proveDraw, type DrawProof, type ProveDrawOptions } from './prove-draw.js';

/**
 * What can be made of a pattern. Every result is plain data in the pattern's own coordinates; nothing of the kernel is
 * left behind. Long tasks turn the event loop between the kernel's operations, but one operation (up to about 2 s on a
 * million triangles) cannot be stopped half way.
 */
export interface Solids {
  /** One sound solid from a pattern of several shells, with the volume change said. */
  makeSolid(pattern: Pattern, options?: Partial<MakeSolidOptions>): Promise<SolidMade>;
  /** Takes the mould off the pattern and tells what it tears, without columns: the check on `assessDraw`. */
  proveDraw(pattern: Pattern, direction: Vec3, options?: Partial<ProveDrawOptions>): Promise<DrawProof>;
  /** The smallest solid that holds the pattern and draws; the added metal also as its own solid. */
  fillBackDraft(pattern: Pattern, direction: Vec3, options?: Partial<FillBackDraftOptions>): Promise<FilledPattern>;
  /** Draft on every side with the least metal added, back draft filled; the added metal also as its own solid. */
  addDraft(pattern: Pattern, direction: Vec3, options?: Partial<AddDraftOptions>): Promise<DraftedPattern>;
  /** The pattern for the metal: scaled for contraction, with stock on chosen faces, drawn in for rapping. */
  scalePattern(pattern: Pattern, options?: Partial<ScalePatternOptions>): Promise<ScaledPattern>;
  /** Cope half and drag half with holes for dowels, or both on a plate; cut to a printer's bed where one is given. */
  splitPattern(
    pattern: Pattern,
    direction: Vec3,
    options: Partial<SplitPatternOptions> & Pick<SplitPatternOptions, 'joint'>,
  ): Promise<SplitPattern>;
  /** A block shaped to the joint with the pattern's nest in it, to ram a half of the mould on. */
  followBoard(
    pattern: Pattern,
    direction: Vec3,
    options: Partial<FollowBoardOptions> & Pick<FollowBoardOptions, 'joint'>,
  ): Promise<FollowBoard>;
  /** Cope and drag as solids of sand with cavity, sprue, runner, gates, feeders and vents; and the metal that fills them. */
  mouldHalves(
    pattern: Pattern,
    direction: Vec3,
    options: Partial<MouldHalvesOptions> & Pick<MouldHalvesOptions, 'joint' | 'flask'>,
  ): Promise<MouldHalves>;
  /** The metal that holds trapped sand as loose pieces with seat and slide, the pattern without them, and the proof of both. */
  loosePieces(pattern: Pattern, direction: Vec3, options?: Partial<LoosePiecesOptions>): Promise<LoosePieces>;
  /** Cores for sand that no joint can free, with prints and two-part boxes, and the pattern with prints. */
  makeCores(pattern: Pattern, direction: Vec3, options?: Partial<MakeCoresOptions>): Promise<CoresMade>;
  /** Ends the use of these solids. A task running goes on; a later one is refused. May be called twice. */
  dispose(): void;
}

/**
 * Opens the solids. The kernel is loaded once for the whole program however often and however concurrently this is called.
 *
 * @throws OddsideError `missing-engine` where manifold-3d is not installed, naming the command that installs it.
 */
export async function openSolids(): Promise<Solids> {
  return openWith(sharedKernel);
}

/** {@link openSolids} with a keeper of one's own. */
export async function openWith(keeper: KernelKeeper): Promise<Solids> {
  let kernel: Kernel | null = await keeper.open();
  const kept = new KeptHalves();
  const run = async <T>(task: (kernel: Kernel) => Promise<T>): Promise<T> => {
    if (!kernel) {
      throw new OddsideError('infeasible', 'These solids were disposed of. Call openSolids() again.');
    }
    const used = kernel;
    try {
      return await task(used);
    } catch (error) {
      throw explained(error, () => keeper.drop(used));
    }
  };
  return Object.freeze({
    makeSolid: (pattern, options) => run((k) => makeSolid(k, pattern, options)),
    proveDraw: (pattern, direction, options) => run((k) => proveDraw(k, pattern, direction, options)),
    fillBackDraft: (pattern, direction, options) => run((k) => fillBackDraft(k, pattern, direction, options)),
    addDraft: (pattern, direction, options) => run((k) => addDraft(k, pattern, direction, options)),
    scalePattern: (pattern, options) => run((k) => scalePattern(k, pattern, options)),
    splitPattern: (pattern, direction, options) => run((k) => splitPattern(k, pattern, direction, options, kept)),
    followBoard: (pattern, direction, options) => run((k) => followBoard(k, pattern, direction, options, kept)),
    mouldHalves: (pattern, direction, options) => run((k) => mouldHalves(k, pattern, direction, options)),
    loosePieces: (pattern, direction, options) => run((k) => loosePieces(k, pattern, direction, options)),
    makeCores: (pattern, direction, options) => run((k) => makeCores(k, pattern, direction, options)),
    dispose() {
      kernel = null;
    },
  } satisfies Solids);
}

/** The kernel's own failures in our words; everything else as it is. */
function explained(error: unknown, drop: () => void): unknown {
  if (isOddsideError(error)) return error;
  const status = statusOf(error);
  if (status !== null) return kernelError(status, 'a step in the kernel', error);
  // Out of memory the kernel traps, and after that not even a cube can be made with it.
  if (error instanceof WebAssembly.RuntimeError || /memory/i.test((error as Error | null)?.message ?? '')) {
    drop();
    return new OddsideError(
      'infeasible',
      'The solids kernel ran out of its memory (4 GB at most) and was closed. Call openSolids() again, with fewer triangles.',
      {},
      { cause: error },
    );
  }
  return error;
}
