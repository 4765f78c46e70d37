/** Pictures with what is drawn over them: joint line, depths, lengths. One SVG each, in millimetres of the pattern. */
import { formatLength, plainNumber, type UnitSystem } from '@oddside/core';
import { html, NO_MARKUP, type Markup } from './html.js';
import type { JobMould, JobSizes } from './job.js';
import type { Picture } from './picture.js';
import type { Tone } from './tones.js';

/** A picture as a figure with its title underneath. */
export function figureOf(
  picture: Picture,
  over: Markup = NO_MARKUP,
  rim = 0,
  caption: Markup = html`${picture.title}`,
): Markup {
  const { widthPx, heightPx, mmPerPx, left, top } = picture;
  const width = widthPx * mmPerPx;
  const height = heightPx * mmPerPx;
  const box = [left - rim, -top - rim * 0.25, width + 2 * rim, height + rim * 0.5]
    .map((n) => plainNumber(n, 6))
    .join(' ');
  return html`<figure>
    <svg viewBox="${box}" role="img" aria-label="${picture.alt}">
      <image
        x="${plainNumber(left, 6)}"
        y="${plainNumber(-top, 6)}"
        width="${plainNumber(width, 6)}"
        height="${plainNumber(height, 6)}"
        href="data:image/png;base64,${picture.png}"
      />
      ${over}
    </svg>
    <figcaption>${caption}</figcaption>
  </figure>`;
}

/** The side view with the joint, the depths in cope and drag, and the length. Heights in the picture are from the joint. */
export function sideFigure(picture: Picture, mould: JobMould, sizes: JobSizes, show: UnitSystem): Markup {
  const width = picture.widthPx * picture.mmPerPx;
  const height = picture.heightPx * picture.mmPerPx;
  const across = Math.max(width, height);
  const text = across * 0.042;
  const thin = across * 0.004;
  const rim = across * (show === 'both' ? 0.42 : 0.27);
  const leftmost = picture.left - rim * 0.9;
  const right = picture.left + width;
  const middle = picture.left + width / 2;
  const at = (n: number): string => plainNumber(n, 6);
  const depth = (from: number, to: number, label: string): Markup => {
    if (Math.abs(to - from) < across * 0.02) return NO_MARKUP;
    const x = right + rim * 0.12;
    const mid = -(from + to) / 2;
    return html`<path
        d="M${at(x - thin * 3)} ${at(-from)}h${at(thin * 6)}M${at(x - thin * 3)} ${at(-to)}h${at(thin * 6)}M${at(x)} ${at(-from)}V${at(-to)}"
        stroke="#16181d"
        stroke-width="${at(thin)}"
        fill="none"
      /><text x="${at(x + text * 0.5)}" y="${at(mid + text * 0.35)}" font-size="${at(text)}" fill="#16181d"
        >${label}</text
      >`;
  };
  const length = formatLength(sizes.pattern[0], show);
  const joint = html`<path
      d="M${at(leftmost)} 0H${at(right + rim * 0.9)}"
      stroke="#16181d"
      stroke-width="${at(thin * 1.4)}"
      stroke-dasharray="${at(thin * 9)} ${at(thin * 5)}"
      fill="none"
    /><text x="${at(leftmost)}" y="${at(-text * 0.45)}" font-size="${at(text)}" fill="#16181d">cope</text
    ><text x="${at(leftmost)}" y="${at(text * 1.15)}" font-size="${at(text)}" fill="#16181d">drag</text>`;
  const below = -picture.top + height + text * 0.2;
  const lengthText = html`<text
    x="${at(middle)}"
    y="${at(below)}"
    font-size="${at(text)}"
    text-anchor="middle"
    fill="#16181d"
    >${length} long</text
  >`;
  const over = html`${joint}${depth(0, mould.copeDepth, formatLength(mould.copeDepth, show))}${depth(0, -mould.dragDepth, formatLength(mould.dragDepth, show))}${lengthText}`;
  return figureOf(picture, over, rim);
}

/** The tones that pictures use, as a list. */
export function legendOf(used: readonly number[], tones: readonly Tone[]): Markup {
  const items = used.map((tone) => {
    const { label, rgb, hatch } = tones[tone] ?? tones[0];
    const fill = `rgb(${rgb.join(',')})`;
    const lines =
      hatch === ''
        ? NO_MARKUP
        : html`<path
            d="M-4 20L20 -4M4 28L28 4M12 36L36 12${hatch === 'x' ? 'M-4 0L20 24M4 -8L28 16M12 -16L36 8' : ''}"
            stroke="#fff"
            stroke-opacity=".65"
            stroke-width="2.4"
          />`;
    return html`<li>
      <svg viewBox="0 0 28 18" aria-hidden="true">
        <rect width="28" height="18" fill="${fill}" />
        ${lines}</svg
      >${label}
    </li>`;
  });
  return html`<ul class="legend">
    ${items}
  </ul>`;
}
