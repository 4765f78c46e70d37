/** Numbers for the places that the cures are about, so that a sentence and a mark in the pictures can name the same one. */
import { plainNumber, type Vec3 } from '@oddside/core';
import { html, NO_MARKUP, type Markup } from './html.js';
import type { MouldCardJob } from './job.js';
import type { Picture } from './picture.js';

/** Cures shown on the card; the rest are in the job's data. */
export const MOST_CURES = 6;

/** The places of the cures shown, in order: the first is number 1. Cures of one place share it. */
export function placesOf(job: MouldCardJob): Vec3[] {
  const places: Vec3[] = [];
  for (const { laidAt } of (job.remedies ?? []).slice(0, MOST_CURES)) {
    if (laidAt && numberOf(places, laidAt) === 0) places.push(laidAt);
  }
  return places;
}

/** The number of a place, from 1; 0 where it has none. */
export function numberOf(places: readonly Vec3[], at: Vec3 | null | undefined): number {
  return at ? places.findIndex((place) => place.every((part, k) => part === at[k])) + 1 : 0;
}

/** Which way a picture's own right points along the pattern's length; its up is across. */
const RIGHT: Readonly<Record<string, number>> = Object.freeze({ 'from-cope': 1, 'from-drag': -1 });

/** The numbers drawn over a picture from straight above or below; nothing over the others. */
export function placeMarks(picture: Picture, places: readonly Vec3[]): Markup {
  const right = RIGHT[picture.id];
  if (right === undefined) return NO_MARKUP;
  const radius = 0.028 * picture.mmPerPx * Math.max(picture.widthPx, picture.heightPx);
  const at = (n: number): string => plainNumber(n, 6);
  const marks = places.map(
    ([x, y], i) =>
      html`<circle
          cx="${at(right * x)}"
          cy="${at(-y)}"
          r="${at(radius)}"
          fill="#fff"
          stroke="#16181d"
          stroke-width="${at(radius * 0.16)}"
        /><text
          x="${at(right * x)}"
          y="${at(-y + radius * 0.48)}"
          font-size="${at(radius * 1.35)}"
          font-weight="700"
          text-anchor="middle"
          fill="#16181d"
          >${String(i + 1)}</text
        >`,
  );
  return html`${marks}`;
}
