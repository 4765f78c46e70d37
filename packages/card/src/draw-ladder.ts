/** The kinds of joint side by side: each as a small cut with its joint, the sand it traps and the sand it moves. */
import { formatLength, formatVolume, plainNumber, type UnitSystem } from '@oddside/core';
import { legendOf } from './draw-figures.js';
import { html, NO_MARKUP, type Markup } from './html.js';
import type { JobLadder, JobRung, MouldCardJob } from './job.js';
import { mm, pathOf } from './svg-path.js';
import { TONE, TONES, type Tone } from './tones.js';
import { trappedSand, type SandStrip } from './trapped-sand.js';

const INK = '#16181d';
const GROUND = '#f3f0e6';
const PATTERN = '#d6d6d0';

/** Sand as drawn, by what becomes of it. */
const SANDS: readonly Tone[] = Object.freeze([
  { ...TONES[TONE.dig], label: 'trapped by this joint' },
  { ...TONES[TONE.held], label: 'held whatever the joint' },
  { label: 'to move away from flat', rgb: [220, 195, 142], hatch: '' },
] as const satisfies readonly Tone[]);
const [MISSED, HELD, MOVED] = SANDS;

/** Shares of the pattern under this are not worth another joint. */
const WORTH_MOVING = 0.001;

/** The ladder as a part of the card; nothing where the job has none. */
export function ladder(job: MouldCardJob): Markup {
  const { ladder: found, show } = job;
  if (!found || found.rungs.length === 0) return NO_MARKUP;
  const [flat] = found.rungs;
  const columns = `Measured on columns ${formatLength(found.column, show)} wide, so figures differ a little from those of finer ones.`;
  const worth = WORTH_MOVING * job.mould.candidate.assessment.solidMm3;
  const enough = flat.trappedMm3 - found.backDraftMm3 <= worth;
  const body = enough
    ? html`<p>
        A flat joint traps ${formatVolume(flat.trappedMm3, show, 2)}, and no other joint traps less than
        ${formatVolume(found.backDraftMm3, show, 2)}: flat is as good as any. ${columns}
      </p>`
    : html`<div class="thumbs rungs">${found.rungs.map((rung) => rungFigure(rung, found, show))}</div>
        ${legendOf([0, 1, 2], SANDS)}
        <p class="small">
          Cut along the length where a flat joint traps most; figures are of the whole pattern. Dashed: flat. ${columns}
        </p>`;
  return html`<section class="part ladder">
    <h2>Kinds of joint, compared</h2>
    ${body}
  </section>`;
}

function rungName(rung: JobRung, slopeLimitDeg: number): string {
  if (rung.kind === 'flat') return 'Flat';
  if (rung.kind === 'tilted')
    return rung.tiltDeg === 0 ? 'Tilted: no better' : `Tilted by ${plainNumber(rung.tiltDeg, 2)}°`;
  return rung.kind === 'sloped' ? `Shaped, up to ${plainNumber(slopeLimitDeg)}°` : 'Shaped, however steep';
}

/** A proven least that is so much under what was reached is worth saying. */
const GAP = 0.02;

function rungFigure(rung: JobRung, found: JobLadder, show: UnitSystem): Markup {
  const { cut, left, right } = found;
  const zs = cut.loops.flatMap(({ points }) => Array.from(points).filter((_, i) => i % 3 === 2));
  const rim = (right - left) * 0.03;
  const top = Math.max(0, ...zs) + rim;
  const bottom = Math.min(0, ...zs) - rim;
  const thin = (right - left) * 0.004;
  const name = rungName(rung, found.slopeLimitDeg);
  const trapped = formatVolume(rung.trappedMm3, show, 3);
  const moved = rung.dugMm3 > 0 ? formatVolume(rung.dugMm3, show, 3) : 'none';
  const joint = Array.from(rung.profile).flatMap((height, i, all) => [
    left + (i / (all.length - 1)) * (right - left),
    0,
    height,
  ]);
  const sand = trappedSand(cut.loops, rung.profile, left, right);
  const id = `${rung.kind}-rung`;
  const line = pathOf(joint, false, 2);
  const least =
    rung.trappedMm3 - rung.leastMm3 > GAP * rung.trappedMm3
      ? html`<br />none of its kind under ${formatVolume(rung.leastMm3, show, 3)}`
      : NO_MARKUP;
  return html`<figure>
    <svg
      viewBox="${[left, -top, right - left, top - bottom].map(mm).join(' ')}"
      role="img"
      aria-label="${name}: traps ${trapped}, moves ${moved}."
    >
      <defs>${hatch(`${id}-missed`, MISSED, thin)}${hatch(`${id}-held`, HELD, thin)}</defs>
      <rect x="${mm(left)}" y="${mm(-top)}" width="${mm(right - left)}" height="${mm(top - bottom)}" fill="${GROUND}" />
      <path d="${line}V0H${mm(left)}Z" fill="rgb(${MOVED.rgb.join(',')})" />
      <path
        d="${cut.loops.map(({ points }) => pathOf(points, true, 2, thin)).join('')}"
        fill="${PATTERN}"
        fill-rule="evenodd"
        stroke="${INK}"
        stroke-width="${mm(thin)}"
      />
      ${strips(sand.missed, `${id}-missed`)}${strips(sand.held, `${id}-held`)}
      <path
        d="M${mm(left)} 0H${mm(right)}"
        stroke="${INK}"
        stroke-width="${mm(thin)}"
        stroke-dasharray="${mm(thin * 5)} ${mm(thin * 4)}"
      />
      <path d="${line}" fill="none" stroke="${INK}" stroke-width="${mm(thin * 2.4)}" stroke-linejoin="round" />
    </svg>
    <figcaption>
      <b>${name}</b><br />traps ${trapped}, <br />moves ${moved}<span class="more">${least}</span>
    </figcaption>
  </figure>`;
}

const strips = (sand: readonly SandStrip[], fill: string): Markup =>
  sand.length === 0
    ? NO_MARKUP
    : html`<path
        d="${sand.map(({ left, right, low, high }) => `M${mm(left)} ${mm(-low)}V${mm(-high)}H${mm(right)}V${mm(-low)}Z`).join('')}"
        fill="url(#${fill})"
      />`;

/** A ground of a tone with its lines, as wide as they must be to show in a small picture. */
function hatch(id: string, { rgb, hatch: lines }: Tone, thin: number): Markup {
  const side = thin * 8;
  const up = `M0 ${mm(side)}L${mm(side)} 0`;
  return html`<pattern id="${id}" width="${mm(side)}" height="${mm(side)}" patternUnits="userSpaceOnUse">
    <rect width="${mm(side)}" height="${mm(side)}" fill="rgb(${rgb.join(',')})" />
    <path
      d="${up}${lines === 'x' ? `M0 0L${mm(side)} ${mm(side)}` : ''}"
      stroke="#fff"
      stroke-opacity=".65"
      stroke-width="${mm(thin * 1.5)}"
    />
  </pattern>`;
}
