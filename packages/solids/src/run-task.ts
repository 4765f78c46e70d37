/** Every task by its name, with one kernel. */
import { addDraft } from './add-draft.js';
import { fillBackDraft } from './fill-back-draft.js';
import { followBoard } from './follow-board.js';
import type { HalfKeeper } from './kept-halves.js';
import type { Kernel } from './kernel.js';
import { loosePieces } from './loose-pieces.js';
import { makeCores } from './make-cores.js';
import { makeSolid } from './make-solid.js';
import { mouldHalves } from './mould-halves.js';
import { proveDraw } from './prove-draw.js';
import { scalePattern } from './scale-pattern.js';
import type { Asked, Made, TaskName } from './solids.js';
import { splitPattern } from './split-pattern.js';

type Tasks = { readonly [T in TaskName]: (kernel: Kernel, asked: Asked<T>, keeper: HalfKeeper) => Promise<Made<T>> };

const TASKS: Tasks = Object.freeze<Tasks>({
  makeSolid: (kernel, asked) => makeSolid(kernel, ...asked),
  proveDraw: (kernel, asked) => proveDraw(kernel, ...asked),
  fillBackDraft: (kernel, asked) => fillBackDraft(kernel, ...asked),
  addDraft: (kernel, asked) => addDraft(kernel, ...asked),
  scalePattern: (kernel, asked) => scalePattern(kernel, ...asked),
  splitPattern: (kernel, [pattern, direction, options], keeper) =>
    splitPattern(kernel, pattern, direction, options, keeper),
  followBoard: (kernel, [pattern, direction, options], keeper) =>
    followBoard(kernel, pattern, direction, options, keeper),
  mouldHalves: (kernel, asked) => mouldHalves(kernel, ...asked),
  loosePieces: (kernel, asked) => loosePieces(kernel, ...asked),
  makeCores: (kernel, asked) => makeCores(kernel, ...asked),
});

/** Runs one task. */
export function runTask<T extends TaskName>(
  kernel: Kernel,
  task: T,
  asked: Asked<T>,
  keeper: HalfKeeper,
): Promise<Made<T>> {
  return TASKS[task](kernel, asked, keeper);
}
