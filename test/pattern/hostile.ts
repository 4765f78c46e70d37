/** What every hostile case says: bytes, and either the one error or the mesh that must come out. */

export interface HostileCase {
  readonly name: string;
  readonly bytes: () => Uint8Array;
  /** The error's code. */
  readonly error?: string;
  /** Words the message must hold. */
  readonly says?: RegExp;
  /** Otherwise: volume in the file's unit (mm for what states none), and the codes of all findings but size and unit. */
  readonly volumeMm3?: number;
  readonly findings?: readonly string[];
  /** Triangles that must be there, where the mesh is not closed. */
  readonly triangles?: number;
  /** The reader to use, where the content does not say. */
  readonly format?: 'stl' | 'obj' | 'ply' | '3mf' | 'glb' | 'gltf';
}

/** A case that must be refused. */
export const refused = (name: string, error: string, bytes: () => Uint8Array, says?: RegExp): HostileCase => ({
  name, error, bytes, says,
}); // prettier-ignore

/** A case that must be read: the whole cube of 10 × 20 × 30, with these findings. */
export const whole = (name: string, bytes: () => Uint8Array, findings: readonly string[] = [], volumeMm3 = 6000): HostileCase => ({
  name, bytes, volumeMm3, findings,
}); // prettier-ignore

/** A case of which a part must be read. */
export const partly = (name: string, triangles: number, findings: readonly string[], bytes: () => Uint8Array): HostileCase => ({
  name, bytes, triangles, findings,
}); // prettier-ignore
