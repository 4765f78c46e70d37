/** Paints triangles: nearest surface, its tone, light and hatch. */
import { unitVector, type Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import type { Canvas } from './canvas.js';
import { cornerNormals } from './corner-normals.js';
import type { Tone } from './tones.js';

/**
 * Tells the tone of a place on the surface, as a place in the palette. Called once per drawn sample with the place (mm), the
 * unit normal for shading and the triangle's number.
 */
export type ToneAt = (x: number, y: number, z: number, nx: number, ny: number, nz: number, triangle: number) => number;

/** Steps of shade between black and full. */
const SHADES = 48;
/** Lines of the hatch repeat after this many samples. */
const HATCH = 14;

/** Directions of the picture. */
export interface Axes {
  readonly right: Vec3;
  readonly up: Vec3;
  readonly away: Vec3;
}

/** Draws both sides of every triangle. */
export function paintSurface(
  pattern: Pick<Pattern, 'positions' | 'triangles'>,
  placed: Float64Array,
  canvas: Canvas,
  toneAt: ToneAt,
  palette: readonly Tone[],
  axes: Axes,
): void {
  const { positions, triangles } = pattern;
  const { width, height, depth, rgb } = canvas;
  const normals = cornerNormals(positions, triangles);
  const light = unitVector([
    -0.45 * axes.right[0] + 0.62 * axes.up[0] - 0.75 * axes.away[0],
    -0.45 * axes.right[1] + 0.62 * axes.up[1] - 0.75 * axes.away[1],
    -0.45 * axes.right[2] + 0.62 * axes.up[2] - 0.75 * axes.away[2],
  ]);
  for (let t = 0; t < triangles.length; t += 3) {
    const a = triangles[t] * 3;
    const b = triangles[t + 1] * 3;
    const c = triangles[t + 2] * 3;
    const ax = placed[a];
    const ay = placed[a + 1];
    const bx = placed[b];
    const by = placed[b + 1];
    const cx = placed[c];
    const cy = placed[c + 1];
    const twice = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax);
    // Rows run downwards, so a triangle that faces the viewer turns the other way here; both sides are drawn.
    if (twice === 0) continue;
    const x0 = Math.max(0, Math.ceil(Math.min(ax, bx, cx)));
    const x1 = Math.min(width - 1, Math.floor(Math.max(ax, bx, cx)));
    const y0 = Math.max(0, Math.ceil(Math.min(ay, by, cy)));
    const y1 = Math.min(height - 1, Math.floor(Math.max(ay, by, cy)));
    const inv = 1 / twice;
    for (let y = y0; y <= y1; y++) {
      for (let x = x0; x <= x1; x++) {
        const wb = ((x - ax) * (cy - ay) - (y - ay) * (cx - ax)) * inv;
        const wc = ((bx - ax) * (y - ay) - (by - ay) * (x - ax)) * inv;
        const wa = 1 - wb - wc;
        if (wa < 0 || wb < 0 || wc < 0) continue;
        const far = wa * placed[a + 2] + wb * placed[b + 2] + wc * placed[c + 2];
        const at = y * width + x;
        if (far >= depth[at]) continue;
        depth[at] = far;
        const n = t * 3;
        const nx = wa * normals[n] + wb * normals[n + 3] + wc * normals[n + 6];
        const ny = wa * normals[n + 1] + wb * normals[n + 4] + wc * normals[n + 7];
        const nz = wa * normals[n + 2] + wb * normals[n + 5] + wc * normals[n + 8];
        const px = wa * positions[a] + wb * positions[b] + wc * positions[c];
        const py = wa * positions[a + 1] + wb * positions[b + 1] + wc * positions[c + 1];
        const pz = wa * positions[a + 2] + wb * positions[b + 2] + wc * positions[c + 2];
        const tone = palette[toneAt(px, py, pz, nx, ny, nz, t / 3)] ?? palette[0];
        const lit = nx * light[0] + ny * light[1] + nz * light[2];
        // Few steps of shade look the same and pack into a third of the bytes.
        const shade = Math.round(SHADES * (0.56 + 0.44 * Math.max(0, lit) - 0.1 * Math.max(0, -lit))) / SHADES;
        const line = hatched(tone.hatch, x, y);
        for (let k = 0; k < 3; k++) {
          const base = line ? tone.rgb[k] * 0.35 + 255 * 0.65 : tone.rgb[k];
          rgb[at * 3 + k] = Math.min(255, Math.round(base * shade));
        }
      }
    }
  }
}

function hatched(hatch: string, x: number, y: number): boolean {
  if (hatch === '') return false;
  if ((x + y) % HATCH < 3) return true;
  return hatch === 'x' && (x - y + 4096 * HATCH) % HATCH < 3;
}
