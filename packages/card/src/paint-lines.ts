/** Paints lines over the surface, where they are not behind it. */
import { dot } from '@oddside/core';
import { FINE, type Canvas } from './canvas.js';
import type { Axes } from './paint-surface.js';

/** A line drawn where it is not behind the surface. */
export interface ViewLine {
  /** Points in mm, x y z of each in turn. */
  readonly points: ArrayLike<number>;
  readonly rgb: readonly [number, number, number];
  /** Width in pixels. */
  readonly widthPx: number;
}

/** Draws one line of straight pieces. */
export function paintLine(line: ViewLine, canvas: Canvas, { right, up, away }: Axes, mmPerPx: number): void {
  const { points } = line;
  const reach = Math.max(1, (line.widthPx * FINE) / 2);
  // Drawn a hair in front of the surface it lies on, but not over what is nearer.
  const bias = 2.5 * mmPerPx;
  for (let i = 0; i + 5 < points.length; i += 3) {
    const p: readonly [number, number, number] = [points[i], points[i + 1], points[i + 2]];
    const q: readonly [number, number, number] = [points[i + 3], points[i + 4], points[i + 5]];
    const x0 = (dot(p, right) - canvas.left) / canvas.mm - 0.5;
    const y0 = (canvas.top - dot(p, up)) / canvas.mm - 0.5;
    const x1 = (dot(q, right) - canvas.left) / canvas.mm - 0.5;
    const y1 = (canvas.top - dot(q, up)) / canvas.mm - 0.5;
    const steps = Math.max(1, Math.ceil(Math.hypot(x1 - x0, y1 - y0)));
    for (let s = 0; s <= steps; s++) {
      const part = s / steps;
      const far = (1 - part) * dot(p, away) + part * dot(q, away) - bias;
      dab(canvas, x0 + part * (x1 - x0), y0 + part * (y1 - y0), reach, far, line.rgb);
    }
  }
}

function dab(canvas: Canvas, x: number, y: number, reach: number, far: number, rgb: readonly number[]): void {
  for (let j = Math.max(0, Math.ceil(y - reach)); j <= Math.min(canvas.height - 1, y + reach); j++) {
    for (let i = Math.max(0, Math.ceil(x - reach)); i <= Math.min(canvas.width - 1, x + reach); i++) {
      if ((i - x) ** 2 + (j - y) ** 2 > reach * reach) continue;
      const at = j * canvas.width + i;
      if (far > canvas.depth[at]) continue;
      // Lines over clear ground must count as drawn; their depth is kept so that nearer lines still win.
      if (canvas.depth[at] === Infinity) canvas.depth[at] = far + 1e6;
      canvas.rgb.set(rgb, at * 3);
    }
  }
}
