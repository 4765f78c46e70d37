/** Solids from whatever runs a task. */
import { OddsideError } from '@oddside/core';
import type { Asked, Made, Solids, TaskName } from './solids.js';

/** Runs a task, wherever that is. */
export type TaskRunner = <T extends TaskName>(task: T, asked: Asked<T>) => Promise<Made<T>>;

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
