/** Paints triangles: nearest surface, its tone, light and hatch. */
import { unitVector, type Steps, type Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import { FINE, type Canvas } from './canvas.js';
import type { Tone } from './tones.js';

/**
 * Tells the tone of a place on the surface, as a place in the palette. Called once for each triangle
 * that shows in a pixel, with the place (mm), the normal for shading and the triangle's number.
 */
export type ToneAt = (x: number, y: number, z: number, nx: number, ny: number, nz: number, triangle: number) => number;

/** Steps of shade between black and full. */
const SHADES = 48;
/** Lines of the hatch repeat after this many samples. */
const HATCH = 14;

/** Corners of triangles drawn, and samples shaded, between two pauses. */
const TRIANGLES = 3 * 8192;
const SAMPLES = 200_000;

/** Directions of the picture. */
export interface Axes {
  readonly right: Vec3;
  readonly up: Vec3;
  readonly away: Vec3;
}

/** Draws both sides of every triangle in small pieces of work: first which one is nearest in each sample, then its tone and light, once in each pixel it shows in. */
export function* paintSteps(
  pattern: Pick<Pattern, 'positions' | 'triangles'>,
  placed: Float64Array,
  canvas: Canvas,
  toneAt: ToneAt,
  palette: readonly Tone[],
  axes: Axes,
  normals: Float32Array,
): Steps<void> {
  const { triangles } = pattern;
  const { width, height } = canvas;
  const nearest = new Int32Array(width * height);
  for (let from = 0; from < triangles.length; from += TRIANGLES) {
    findNearest(triangles, placed, canvas, nearest, from, Math.min(triangles.length, from + TRIANGLES));
    yield (0.4 * from) / triangles.length;
  }
  const rows = FINE * Math.max(1, Math.round(SAMPLES / width / FINE));
  for (let from = 0; from < height; from += rows) {
    const to = Math.min(height, from + rows) * width;
    shadeSamples(pattern, placed, nearest, canvas, toneAt, palette, axes, normals, from * width, to);
    yield 0.4 + (0.6 * from) / height;
  }
}

/** Writes the number of the nearest triangle, counted from 1, to each sample, and the distances. */
function findNearest(
  triangles: Uint32Array,
  placed: Float64Array,
  { width, height, depth }: Canvas,
  nearest: Int32Array,
  from: number,
  to: number,
): void {
  for (let t = from; t < to; t += 3) {
    const a = triangles[t] * 3;
    const b = triangles[t + 1] * 3;
    const c = triangles[t + 2] * 3;
    const ax = placed[a];
    const ay = placed[a + 1];
    const bx = placed[b] - ax;
    const by = placed[b + 1] - ay;
    const cx = placed[c] - ax;
    const cy = placed[c + 1] - ay;
    const twice = bx * cy - by * cx;
    // Rows run downwards, so a triangle that faces the viewer turns the other way here; both sides are drawn.
    if (twice === 0) continue;
    const x0 = Math.max(0, Math.ceil(ax + Math.min(0, bx, cx)));
    const x1 = Math.min(width - 1, Math.floor(ax + Math.max(0, bx, cx)));
    const y0 = Math.max(0, Math.ceil(ay + Math.min(0, by, cy)));
    const y1 = Math.min(height - 1, Math.floor(ay + Math.max(0, by, cy)));
    if (x0 > x1 || y0 > y1) continue;
    const near = placed[a + 2];
    const toB = placed[b + 2] - near;
    const toC = placed[c + 2] - near;
    // The shares of the second and third corner grow evenly along a row.
    const stepB = cy / twice;
    const stepC = -by / twice;
    for (let y = y0; y <= y1; y++) {
      let wb = (x0 - ax) * stepB - ((y - ay) * cx) / twice;
      let wc = (x0 - ax) * stepC + ((y - ay) * bx) / twice;
      let at = y * width + x0;
      for (let x = x0; x <= x1; x++, at++, wb += stepB, wc += stepC) {
        if (wb < 0 || wc < 0 || wb + wc > 1) continue;
        const far = near + wb * toB + wc * toC;
        if (far >= depth[at]) continue;
        depth[at] = far;
        nearest[at] = t / 3 + 1;
      }
    }
  }
}

function shadeSamples(
  { positions, triangles }: Pick<Pattern, 'positions' | 'triangles'>,
  placed: Float64Array,
  nearest: Int32Array,
  { width, rgb }: Canvas,
  toneAt: ToneAt,
  palette: readonly Tone[],
  { right, up, away }: Axes,
  normals: Float32Array,
  from: number,
  to: number,
): void {
  const light = unitVector([
    -0.45 * right[0] + 0.62 * up[0] - 0.75 * away[0],
    -0.45 * right[1] + 0.62 * up[1] - 0.75 * away[1],
    -0.45 * right[2] + 0.62 * up[2] - 0.75 * away[2],
  ]);
  for (let corner = from; corner < to; corner = nextPixel(corner, width)) {
    let last = 0;
    let tone = palette[0];
    let shade = 1;
    for (let k = 0; k < FINE * FINE; k++) {
      const at = corner + Math.floor(k / FINE) * width + (k % FINE);
      if (nearest[at] === 0) continue;
      const x = at % width;
      const y = (at - x) / width;
      if (nearest[at] !== last) {
        last = nearest[at];
        const t = (last - 1) * 3;
        const a = triangles[t] * 3;
        const b = triangles[t + 1] * 3;
        const c = triangles[t + 2] * 3;
        const dx = x - placed[a];
        const dy = y - placed[a + 1];
        const bx = placed[b] - placed[a];
        const by = placed[b + 1] - placed[a + 1];
        const cx = placed[c] - placed[a];
        const cy = placed[c + 1] - placed[a + 1];
        const inv = 1 / (bx * cy - by * cx);
        const wb = (dx * cy - dy * cx) * inv;
        const wc = (bx * dy - by * dx) * inv;
        const wa = 1 - wb - wc;
        const n = t * 3;
        const nx = wa * normals[n] + wb * normals[n + 3] + wc * normals[n + 6];
        const ny = wa * normals[n + 1] + wb * normals[n + 4] + wc * normals[n + 7];
        const nz = wa * normals[n + 2] + wb * normals[n + 5] + wc * normals[n + 8];
        const px = wa * positions[a] + wb * positions[b] + wc * positions[c];
        const py = wa * positions[a + 1] + wb * positions[b + 1] + wc * positions[c + 1];
        const pz = wa * positions[a + 2] + wb * positions[b + 2] + wc * positions[c + 2];
        tone = palette[toneAt(px, py, pz, nx, ny, nz, t / 3)] ?? palette[0];
        const lit = nx * light[0] + ny * light[1] + nz * light[2];
        // Few steps of shade look the same and pack into a third of the bytes.
        shade = Math.round(SHADES * (0.56 + 0.44 * Math.max(0, lit) - 0.1 * Math.max(0, -lit))) / SHADES;
      }
      const ground = hatched(tone.hatch, x, y) ? 255 * 0.65 : 0;
      const share = ground > 0 ? 0.35 : 1;
      for (let j = 0; j < 3; j++) rgb[at * 3 + j] = Math.min(255, Math.round((tone.rgb[j] * share + ground) * shade));
    }
  }
}

/** The first sample of the pixel after this one; samples of a pixel are FINE rows of FINE. */
const nextPixel = (corner: number, width: number): number =>
  (corner + FINE) % width === 0 ? corner + FINE + (FINE - 1) * width : corner + FINE;

function hatched(hatch: string, x: number, y: number): boolean {
  if (hatch === '') return false;
  if ((x + y) % HATCH < 3) return true;
  return hatch === 'x' && (x - y + 4096 * HATCH) % HATCH < 3;
}
