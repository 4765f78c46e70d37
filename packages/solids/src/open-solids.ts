/** The door to the solids: kernels opened once, passed explicitly. */
import { checkNumber, resolveOptions } from '@oddside/core';
import { explained } from './explain-failure.js';
import type { Kernel } from './kernel.js';
import { KeptHalves } from './kept-halves.js';
import { sharedKernel, type KernelKeeper } from './open-kernel.js';
import { openInThreads } from './open-in-threads.js';
import { runTask } from './run-task.js';
import { type Asked, disposedOf, type Made, type Solids, solidsOf, type TaskName } from './solids.js';

/** What `openSolids` takes. */
export interface OpenSolidsOptions {
  /**
   * Threads that do the work, each with a kernel of its own, 0–64. 0: this thread does it. With any this thread does none of
   * it, and hears an abort at once. Tasks asked for together are done side by side, and so are both halves of a split along a
   * flat joint, where there is a thread for each. Results are the same bit for bit however many there are. As many as the
   * processor has cores are best. Each takes 30 MB of memory and what its solids take. Default 0.
   */
  readonly threads: number;
}

/** Defaults of `openSolids`. */
export const OPEN_SOLIDS_DEFAULTS: OpenSolidsOptions = Object.freeze({ threads: 0 });

/**
 * Opens the solids. Without threads the kernel is loaded once for the whole program however often and however concurrently
 * this is called. Threads are started for these solids alone and end when these are disposed of.
 *
 * @throws OddsideError `missing-engine` where manifold-3d is not installed, naming the command that installs it, or where
 *   threads were asked for and the platform has none; `bad-number`, `bad-option`.
 */
export async function openSolids(options?: Partial<OpenSolidsOptions>): Promise<Solids> {
  const { threads } = resolveOptions('openSolids', OPEN_SOLIDS_DEFAULTS, options);
  checkNumber('threads', threads, { min: 0, max: 64, whole: true });
  return threads > 0 ? openInThreads(threads, () => openWith(sharedKernel)) : openWith(sharedKernel);
}

/** {@link openSolids} in this thread, with a keeper of one's own. */
export async function openWith(keeper: KernelKeeper): Promise<Solids> {
  let kernel: Kernel | null = await keeper.open();
  const kept = new KeptHalves();
  const run = async <T extends TaskName>(task: T, asked: Asked<T>): Promise<Made<T>> => {
    if (!kernel) throw disposedOf();
    const used = kernel;
    try {
      return await runTask(used, task, asked, kept);
    } catch (error) {
      throw explained(error, () => keeper.drop(used));
    }
  };
  return solidsOf(run, () => {
    kernel = null;
  });
}
