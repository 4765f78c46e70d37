/** Opens the solids kernel once for everyone, and again after it broke. */
import { OddsideError } from '@oddside/core';
import type createKernel from 'manifold-3d';
import type { Kernel } from './kernel.js';

/** Loads a fresh kernel. */
export type KernelLoader = () => Promise<Kernel>;

/** Keeps one kernel for all who ask. */
export interface KernelKeeper {
  /** The kernel; the promise is shared, so that any number of concurrent calls give one instance. */
  open(): Promise<Kernel>;
  /** Lets go of a kernel that broke or is not needed; the next call opens a fresh one. */
  drop(kernel: Kernel): void;
}

/** A keeper around a loader. A failed load is forgotten, so that the next call tries again. */
export function keepKernel(load: KernelLoader): KernelKeeper {
  let opening: Promise<Kernel> | undefined;
  let current: Kernel | undefined;
  return Object.freeze({
    open(): Promise<Kernel> {
      opening ??= load().then(
        (kernel) => (current = kernel),
        (cause: unknown) => {
          opening = undefined;
          throw cause;
        },
      );
      return opening;
    },
    drop(kernel: Kernel): void {
      if (current !== kernel) return;
      opening = undefined;
      current = undefined;
    },
  });
}

/** How to get the kernel, for messages. */
export const INSTALL_COMMAND = 'npm install manifold-3d';

/**
 * Loads manifold-3d. It is an optional peer: everything else in Oddside works without it.
 *
 * @throws OddsideError `missing-engine`, naming the command that installs it.
 */
export async function loadKernel(load: () => Promise<unknown> = () => import('manifold-3d')): Promise<Kernel> {
  let factory: typeof createKernel;
  try {
    factory = ((await load()) as { default: typeof createKernel }).default;
  } catch (cause) {
    throw new OddsideError(
      'missing-engine',
      `The solids kernel manifold-3d was expected to be installed, but it could not be loaded. Install it: ${INSTALL_COMMAND}`,
      { engine: 'manifold-3d', install: INSTALL_COMMAND },
      { cause },
    );
  }
  const kernel = await factory();
  kernel.setup();
  return kernel;
}

/** The keeper that the whole package shares: the kernel's memory is large and its bodies do not mix between instances. */
export const sharedKernel: Readonly<KernelKeeper> = keepKernel(() => loadKernel());
