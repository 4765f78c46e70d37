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

/** Opens a kernel with a memory of so many bytes; `null` where the platform does not offer what it needs, or not as much. */
export function openKernel<Exports>(base64: string, bytes: number): OpenKernel<Exports> | null {
  if (typeof WebAssembly === 'undefined') return null;
  try {
    const code = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
    const memory = new WebAssembly.Memory({ initial: Math.ceil(bytes / PAGE) });
    const { exports } = new WebAssembly.Instance(new WebAssembly.Module(code), { env: { memory } });
    return { memory, run: exports as unknown as Exports };
  } catch {
    // No pairs of numbers, a page that forbids compiling, no memory: the same is done in plain TypeScript.
    return null;
  }
}

/** Makes a memory at least so many bytes long. Views of it made before are empty then. */
export function lengthen(memory: WebAssembly.Memory, bytes: number): void {
  const missing = bytes - memory.buffer.byteLength;
  if (missing > 0) memory.grow(Math.ceil(missing / PAGE));
}
