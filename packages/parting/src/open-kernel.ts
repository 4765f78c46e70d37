/** Opens what runs in WebAssembly. */

const PAGE = 65_536;

/** A kernel and the memory it works in. */
export interface OpenKernel<Exports> {
  readonly memory: WebAssembly.Memory;
  readonly run: Exports;
}

/** Lays arrays out in a memory, each on a place that any processor likes. */
export class MemoryPlan {
  bytes = 0;

  /** The place of an array of so many bytes. */
  room(size: number): number {
    const from = this.bytes;
    this.bytes += Math.ceil(size / 64) * 64;
    return from;
  }
}

/**
 * Compiles a kernel; `null` where the platform does not offer what it needs. Compiled once and kept, it soon runs as well
 * translated as the platform can; compiled anew for each memory it would start from the quick translation every time.
 */
export function compileKernel(base64: string): WebAssembly.Module | null {
  if (typeof WebAssembly === 'undefined') return null;
  try {
    return new WebAssembly.Module(Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0)));
  } catch {
    // No pairs of numbers, or a page that forbids compiling: the same is done in plain TypeScript.
    return null;
  }
}

/** Opens a kernel with a memory of so many bytes; `null` where there is no kernel, or not as much memory. */
export function openKernel<Exports>(kernel: WebAssembly.Module | null, bytes: number): OpenKernel<Exports> | null {
  if (!kernel) return null;
  try {
    const memory = new WebAssembly.Memory({ initial: Math.ceil(bytes / PAGE) });
    const { exports } = new WebAssembly.Instance(kernel, { env: { memory } });
    return { memory, run: exports as unknown as Exports };
  } catch {
    return null;
  }
}

/** Makes a memory at least so many bytes long. Views of it made before are empty then. */
export function lengthen(memory: WebAssembly.Memory, bytes: number): void {
  const missing = bytes - memory.buffer.byteLength;
  if (missing > 0) memory.grow(Math.ceil(missing / PAGE));
}
