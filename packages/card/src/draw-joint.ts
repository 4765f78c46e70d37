/** The joint in plan: the pattern's outline, and where to dig the drag down or build it up, with depths. */
import { formatLength, plainNumber, type UnitSystem } from '@oddside/core';
import { html, NO_MARKUP, type Markup } from './html.js';
import type { JobLine, JobSurface } from './job.js';
import { mm, pathOf } from './svg-path.js';

interface Box {
  left: number;
  right: number;
  front: number;
  back: number;
}

/** Contours as a figure; without contours the outline alone is drawn, for a flat joint. */
export function jointFigure(line: JobLine, surface: JobSurface, show: UnitSystem): Markup {
  const box: Box = { left: Infinity, right: -Infinity, front: Infinity, back: -Infinity };
  for (const { points } of [...line.loops, ...surface.contours]) widen(box, points);
  if (!(box.right > box.left)) return NO_MARKUP;
  const across = Math.max(box.right - box.left, box.back - box.front);
  const rim = across * 0.05;
  const thin = across * 0.0035;
  const least = across / 900;
  const outlines = line.loops.map(({ points }) => pathOf(points, true, 1, least)).join('');
  const pieces = surface.contours.map((contour) => {
    const flat = Math.abs(contour.height) < 1e-9;
    const dig = contour.height < 0;
    return html`<path
      d="${pathOf(contour.points, contour.closed, 1, least)}"
      fill="none"
      stroke="${flat ? '#8a8a84' : dig ? '#16405f' : '#7a4a00'}"
      stroke-width="${mm(flat ? thin * 0.6 : thin)}"
      stroke-dasharray="${dig ? `${mm(thin * 4)} ${mm(thin * 2.5)}` : 'none'}"
    />`;
  });
  const viewBox = [box.left - rim, -box.back - rim, box.right - box.left + 2 * rim, box.back - box.front + 2 * rim];
  const flat = surface.contours.length === 0;
  const title = flat
    ? 'The joint from above: flat all round the pattern.'
    : 'The joint from above. Dashed: dig the drag down to this depth; full: build it up to this height; thin grey: flat from here on.';
  return html`<figure>
    <svg viewBox="${viewBox.map(mm).join(' ')}" role="img" aria-label="${title}">
      <path
        d="${outlines}"
        fill="#e6e4da"
        fill-rule="evenodd"
        stroke="#16181d"
        stroke-width="${mm(thin * 1.8)}"
        stroke-linejoin="round"
      />
      ${pieces} ${labels(surface, across, show)}
    </svg>
    <figcaption>${title} ${digWords(surface, show)}</figcaption>
  </figure>`;
}

/** One label a height, on the longest contour of that height, where no other label is near. */
function labels(surface: JobSurface, across: number, show: UnitSystem): Markup[] {
  const longest = new Map<number, ArrayLike<number>>();
  for (const { height, points } of surface.contours) {
    if (Math.abs(height) < 1e-9) continue;
    if ((longest.get(height)?.length ?? 0) < points.length) longest.set(height, points);
  }
  const size = across * 0.034;
  const taken: { x: number; y: number }[] = [];
  const made: Markup[] = [];
  for (const [height, points] of [...longest].sort(([a], [b]) => Math.abs(b) - Math.abs(a))) {
    const count = Math.floor(points.length / 3);
    for (let k = 0; k < 12; k++) {
      const i = Math.floor((count * (k + 0.5)) / 12) * 3;
      const at = { x: points[i], y: points[i + 1] };
      if (taken.some((other) => Math.abs(other.x - at.x) < size * 4 && Math.abs(other.y - at.y) < size * 1.3)) continue;
      taken.push(at);
      const text = show === 'imperial' ? plainNumber(height / 25.4, 2) : plainNumber(height, 2);
      made.push(
        html`<text
          x="${mm(at.x)}"
          y="${mm(-at.y + size * 0.35)}"
          font-size="${mm(size)}"
          text-anchor="middle"
          fill="#16181d"
          stroke="#fff"
          stroke-width="${mm(size * 0.22)}"
          paint-order="stroke"
          >${text.replace('-', '−')}</text
        >`,
      );
      break;
    }
  }
  return made;
}

function digWords(surface: JobSurface, show: UnitSystem): string {
  if (surface.contours.length === 0) return '';
  const heights = surface.contours.map(({ height }) => height);
  const low = Math.min(0, ...heights);
  const high = Math.max(0, ...heights);
  const unit = show === 'imperial' ? 'in' : 'mm';
  const dig = low < 0 ? `deepest line drawn ${formatLength(-low, show)} down` : '';
  const build = high > 0 ? `highest ${formatLength(high, show)} up` : '';
  return `Numbers are ${unit} from the flat joint; ${[dig, build].filter(Boolean).join(', ')}.`;
}

function widen(box: Box, points: ArrayLike<number>): void {
  for (let i = 0; i + 2 < points.length; i += 3) {
    box.left = Math.min(box.left, points[i]);
    box.right = Math.max(box.right, points[i]);
    box.front = Math.min(box.front, points[i + 1]);
    box.back = Math.max(box.back, points[i + 1]);
  }
}
