/** What a kernel throws, in our words. */
import { OddsideError, isOddsideError } from '@oddside/core';
import { kernelError, statusOf } from './own-bodies.js';

/**
 * The kernel's own failures in our words; everything else as it is.
 *
 * @param drop Called where the kernel is of no more use.
 */
export function explained(error: unknown, drop: () => void): unknown {
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
