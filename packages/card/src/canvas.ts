/** The ground that {@link renderView} draws on: four samples a pixel, each with its distance and colour. */
import { dot, type Vec3 } from '@oddside/core';

/** Samples along each side of a pixel. */
export const FINE = 2;

export interface Canvas {
  readonly width: number;
  readonly height: number;
  readonly left: number;
  readonly top: number;
  readonly mm: number;
  /** Distance from the viewer, mm; ∞ where nothing is drawn. */
  readonly depth: Float32Array;
  readonly rgb: Uint8Array;
}

export function makeCanvas(width: number, height: number, left: number, top: number, mm: number): Canvas {
  const depth = new Float32Array(width * height).fill(Infinity);
  return { width, height, left, top, mm, depth, rgb: new Uint8Array(width * height * 3) };
}

/** Coordinates along the picture's right, up and away, mm. */
export function place(positions: Float64Array, right: Vec3, up: Vec3, away: Vec3): Float64Array {
  const placed = new Float64Array(positions.length);
  for (let i = 0; i < positions.length; i += 3) {
    const p: Vec3 = [positions[i], positions[i + 1], positions[i + 2]];
    placed[i] = dot(p, right);
    placed[i + 1] = dot(p, up);
    placed[i + 2] = dot(p, away);
  }
  return placed;
}

export function boxOf(placed: Float64Array): { minX: number; maxX: number; minY: number; maxY: number } {
  let minX = Infinity;
  let maxX = -Infinity;
  let minY = Infinity;
  let maxY = -Infinity;
  for (let i = 0; i < placed.length; i += 3) {
    minX = Math.min(minX, placed[i]);
    maxX = Math.max(maxX, placed[i]);
    minY = Math.min(minY, placed[i + 1]);
    maxY = Math.max(maxY, placed[i + 1]);
  }
  return maxX >= minX ? { minX, maxX, minY, maxY } : { minX: 0, maxX: 0, minY: 0, maxY: 0 };
}

/** Turns places in mm into places in samples, centres at whole numbers, rows downwards. */
export function toSamples(placed: Float64Array, canvas: Canvas): void {
  for (let i = 0; i < placed.length; i += 3) {
    placed[i] = (placed[i] - canvas.left) / canvas.mm - 0.5;
    placed[i + 1] = (canvas.top - placed[i + 1]) / canvas.mm - 0.5;
  }
}

/** Four samples to a pixel; the share of drawn samples is the opacity, so the picture lies well on any ground. */
export function shrink(canvas: Canvas): Uint8Array {
  const width = canvas.width / FINE;
  const height = canvas.height / FINE;
  const out = new Uint8Array(width * height * 4);
  for (let y = 0; y < height; y++) {
    for (let x = 0; x < width; x++) {
      let drawn = 0;
      let r = 0;
      let g = 0;
      let b = 0;
      for (let k = 0; k < FINE * FINE; k++) {
        const at = (y * FINE + (k >> 1)) * canvas.width + x * FINE + (k & 1);
        if (canvas.depth[at] === Infinity) continue;
        drawn++;
        r += canvas.rgb[at * 3];
        g += canvas.rgb[at * 3 + 1];
        b += canvas.rgb[at * 3 + 2];
      }
      if (drawn === 0) continue;
      const to = (y * width + x) * 4;
      out[to] = Math.round(r / drawn);
      out[to + 1] = Math.round(g / drawn);
      out[to + 2] = Math.round(b / drawn);
      out[to + 3] = Math.round((255 * drawn) / (FINE * FINE));
    }
  }
  return out;
}
