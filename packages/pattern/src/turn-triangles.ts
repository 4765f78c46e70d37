/** Turns triangles over, so that the other side is out. */
import { NO_SHELL, type ShellLabels } from './label-shells.js';

/** The same triangles the other way round. */
export function turnedOver(triangles: Uint32Array): Uint32Array {
  const turned = new Uint32Array(triangles.length);
  for (let i = 0; i < triangles.length; i += 3) {
    turned[i] = triangles[i];
    turned[i + 1] = triangles[i + 2];
    turned[i + 2] = triangles[i + 1];
  }
  return turned;
}

/** The same triangles, those of the marked shells the other way round. */
export function turnShells(triangles: Uint32Array, labels: ShellLabels, marked: readonly boolean[]): Uint32Array {
  const turned = triangles.slice();
  for (let t = 0; t < labels.ofTriangle.length; t++) {
    const shell = labels.ofTriangle[t];
    if (shell === NO_SHELL || !marked[shell]) continue;
    turned[t * 3 + 1] = triangles[t * 3 + 2];
    turned[t * 3 + 2] = triangles[t * 3 + 1];
  }
  return turned;
}
