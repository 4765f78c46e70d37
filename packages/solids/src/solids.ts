/** The solids, as a caller sees them. */
import { OddsideError, type Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import type { AddDraftOptions, DraftedPattern } from './add-draft.js';
import type { FillBackDraftOptions, FilledPattern } from './fill-back-draft.js';
import type { FollowBoard, FollowBoardOptions } from './follow-board.js';
import type { LoosePieces, LoosePiecesOptions } from './loose-pieces.js';
import type { CoresMade, MakeCoresOptions } from './make-cores.js';
import type { MakeSolidOptions, SolidMade } from './make-solid.js';
import type { MouldHalves, MouldHalvesOptions } from './mould-halves.js';
import type { DrawProof, ProveDrawOptions } from './prove-draw.js';
import type { ScaledPattern, ScalePatternOptions } from './scale-pattern.js';
import type { SplitPatternOptions } from './split-options.js';
import type { SplitPattern } from './split-pattern.js';

/**
 * What can be made of a pattern. Every result is plain data in the pattern's own coordinates; nothing of the kernel is
 * left behind. Long tasks turn the event loop between the kernel's operations, but one operation (up to about 2 s on a
 * million triangles) cannot be stopped half way. In threads an abort is heard at once, and the work ends within a second.
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
  /** Ends the use of these solids, and their threads. A task running goes on; a later one is refused. May be called twice. */
  dispose(): void;
}

/** A task by its name. */
export type TaskName = Exclude<keyof Solids, 'dispose'>;
/** What a task is asked with, and what comes of it. */
export type Asked<T extends TaskName> = Parameters<Solids[T]>;
export type Made<T extends TaskName> = Awaited<ReturnType<Solids[T]>>;

/** Runs a task, wherever that is. */
export type TaskRunner = <T extends TaskName>(task: T, asked: Asked<T>) => Promise<Made<T>>;

/** Solids from whatever runs a task. */
export function solidsOf(run: TaskRunner, dispose: () => void): Solids {
  return Object.freeze({
    makeSolid: (...asked) => run('makeSolid', asked),
    proveDraw: (...asked) => run('proveDraw', asked),
    fillBackDraft: (...asked) => run('fillBackDraft', asked),
    addDraft: (...asked) => run('addDraft', asked),
    scalePattern: (...asked) => run('scalePattern', asked),
    splitPattern: (...asked) => run('splitPattern', asked),
    followBoard: (...asked) => run('followBoard', asked),
    mouldHalves: (...asked) => run('mouldHalves', asked),
    loosePieces: (...asked) => run('loosePieces', asked),
    makeCores: (...asked) => run('makeCores', asked),
    dispose,
  } satisfies Solids);
}

/** What a task is told that comes after `dispose`. */
export function disposedOf(): OddsideError {
  return new OddsideError('infeasible', 'These solids were disposed of. Call openSolids() again.');
}
