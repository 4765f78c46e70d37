/** The mould cut upright along its length: flask, joint, pattern, sprue, gate, feeder, with the depths that matter. */
import { formatLength, type UnitSystem } from '@oddside/core';
import { html, NO_MARKUP, type Markup } from './html.js';
import type { MouldCardJob } from './job.js';
import { layOutMould } from './lay-out-mould.js';
import { mm, pathOf } from './svg-path.js';

const INK = '#16181d';
const METAL = '#8a8f98';
const PATTERN = '#d6d6d0';

interface Pen {
  readonly thin: number;
  readonly text: number;
  readonly show: UnitSystem;
}

/** The section as a figure. Lengths are to scale; where sprue and feeder stand is one arrangement that fits. */
export function sectionFigure(job: MouldCardJob): Markup {
  const { show } = job;
  const layout = layOutMould(job);
  const { copeHeight, dragHeight } = job.mould.sand;
  const { flask } = layout;
  const length = flask.right - flask.left;
  const height = copeHeight + dragHeight;
  const across = Math.max(length, height);
  const pen: Pen = { thin: across * 0.0026, text: across * (show === 'both' ? 0.03 : 0.037), show };
  const basin = job.pour.plan.gating.parts.basin;
  const left = flask.left - pen.text * (show === 'both' ? 10.5 : 6.4);
  const right = flask.right + pen.text * (show === 'both' ? 10.5 : 6.4);
  const top = copeHeight + basin.depth + pen.text * 2.2;
  const bottom = -dragHeight - pen.text * 2;
  const box = [left, -top, right - left, top - bottom].map(mm).join(' ');
  const title =
    'Section along the length, to scale, with sprue, runner and feeder brought into it. Where they stand is one arrangement that fits.';
  return html`<figure>
    <svg viewBox="${box}" role="img" aria-label="${title}">
      ${sandBox(flask.left, copeHeight, length, height, pen)} ${patternCut(job, pen)} ${running(job, pen)}
      <path
        d="M${mm(flask.left - pen.text)} 0H${mm(flask.right + pen.text)}"
        stroke="${INK}"
        stroke-width="${mm(pen.thin * 1.3)}"
        stroke-dasharray="${mm(pen.thin * 9)} ${mm(pen.thin * 5)}"
      />
      ${upright(flask.left - pen.text * 0.7, 0, copeHeight, 'left', pen)}
      ${upright(flask.left - pen.text * 0.7, -dragHeight, 0, 'left', pen)}
      ${upright(flask.right + pen.text * 0.7, 0, job.mould.copeDepth, 'right', pen)}
      ${upright(flask.right + pen.text * 0.7, -job.mould.dragDepth, 0, 'right', pen)}
      ${level(flask.left, flask.right, -dragHeight - pen.text * 0.55, pen)}
    </svg>
    <figcaption>${title} Left: depths of cope and drag; right: of the pattern in them.</figcaption>
  </figure>`;
}

function sandBox(left: number, top: number, width: number, height: number, pen: Pen): Markup {
  return html`<rect
    x="${mm(left)}"
    y="${mm(-top)}"
    width="${mm(width)}"
    height="${mm(height)}"
    fill="#f3f0e6"
    stroke="${INK}"
    stroke-width="${mm(pen.thin * 2)}"
  />`;
}

/** The cut, or where none was made the box of the pattern with a cross through it. */
function patternCut(job: MouldCardJob, pen: Pen): Markup {
  const { copeDepth, dragDepth } = job.mould;
  const half = job.sizes.pattern[0] / 2;
  const cut = (job.section?.loops ?? []).map(({ points }) => pathOf(points, true, 2, pen.thin)).join('');
  const box = `M${mm(-half)} ${mm(-copeDepth)}H${mm(half)}V${mm(dragDepth)}H${mm(-half)}Z`;
  const cross = `M${mm(-half)} ${mm(-copeDepth)}L${mm(half)} ${mm(dragDepth)}M${mm(half)} ${mm(-copeDepth)}L${mm(-half)} ${mm(dragDepth)}`;
  return html`<path
    d="${cut === '' ? box + cross : cut}"
    fill="${PATTERN}"
    fill-rule="evenodd"
    stroke="${INK}"
    stroke-width="${mm(pen.thin)}"
  />`;
}

/** Basin, sprue, well, runner end and feeder, in the grey of metal. */
function running(job: MouldCardJob, pen: Pen): Markup {
  const layout = layOutMould(job);
  const { parts } = job.pour.plan.gating;
  const { copeHeight } = job.mould.sand;
  const { basin, sprue, well, runner } = parts;
  const { x } = layout.sprue;
  const wide = Math.sqrt(basin.areaMm2) / 2;
  const metal = (d: string): Markup =>
    html`<path d="${d}" fill="${METAL}" stroke="${INK}" stroke-width="${mm(pen.thin)}" />`;
  const poured = [
    metal(
      `M${mm(x - wide)} ${mm(-copeHeight - basin.depth)}h${mm(2 * wide)}V${mm(-copeHeight)}H${mm(x + sprue.topDiameter / 2)}L${mm(x + sprue.exitDiameter / 2)} 0H${mm(x + well.diameter / 2)}V${mm(well.depth)}H${mm(x - well.diameter / 2)}V0H${mm(x - sprue.exitDiameter / 2)}L${mm(x - sprue.topDiameter / 2)} ${mm(-copeHeight)}H${mm(x - wide)}Z`,
    ),
    metal(
      `M${mm(x + well.diameter / 2)} 0H${mm(layout.pattern.left)}V${mm(runner.side)}H${mm(x + well.diameter / 2)}Z`,
    ),
  ];
  const labels = [
    word(x, copeHeight + basin.depth + pen.text * 0.5, `basin ${formatLength(basin.depth, pen.show, 2)} deep`, pen),
    word(
      x + sprue.topDiameter / 2 + pen.text * 0.4,
      copeHeight - pen.text * 1.2,
      `sprue ⌀ ${formatLength(sprue.topDiameter, pen.show, 2)}`,
      pen,
      'start',
    ),
    word(
      x - well.diameter / 2,
      -well.depth - pen.text * 1.1,
      `choke ⌀ ${formatLength(sprue.exitDiameter, pen.show, 2)}`,
      pen,
      'start',
    ),
  ];
  const { feeder: round } = layout;
  const plan = job.pour.plan.feeder;
  if (!round || !plan) return html`${poured}${labels}`;
  const rise = Math.min(plan.height, copeHeight);
  const neck = plan.neck.diameter / 2;
  const edge = round.x - round.diameter / 2;
  poured.push(
    metal(
      `M${mm(edge)} ${mm(-rise)}h${mm(round.diameter)}V${mm(neck)}H${mm(layout.pattern.right)}V${mm(-neck)}H${mm(edge)}Z`,
    ),
  );
  const size = `${formatLength(plan.diameter, pen.show, 2)} × ${formatLength(plan.height, pen.show, 2)}`;
  labels.push(word(round.x, copeHeight + pen.text * 0.5, `feeder ⌀ ${size} high`, pen));
  return html`${poured}${labels}`;
}

function word(x: number, y: number, text: string, pen: Pen, anchor: 'start' | 'middle' | 'end' = 'middle'): Markup {
  return html`<text
    x="${mm(x)}"
    y="${mm(-y)}"
    font-size="${mm(pen.text)}"
    text-anchor="${anchor}"
    fill="${INK}"
    stroke="#f3f0e6"
    stroke-width="${mm(pen.text * 0.18)}"
    paint-order="stroke"
    >${text}</text
  >`;
}

/** A height with end marks and its length. Nothing where it would be too short to see. */
function upright(x: number, from: number, to: number, side: 'left' | 'right', pen: Pen): Markup {
  if (to - from < pen.text * 0.4) return NO_MARKUP;
  const tick = pen.text * 0.3;
  const away = side === 'left' ? -pen.text * 0.4 : pen.text * 0.4;
  return html`<path
      d="M${mm(x - tick)} ${mm(-from)}h${mm(2 * tick)}M${mm(x - tick)} ${mm(-to)}h${mm(2 * tick)}M${mm(x)} ${mm(-from)}V${mm(-to)}"
      stroke="${INK}"
      stroke-width="${mm(pen.thin)}"
      fill="none"
    />${word(x + away, (from + to) / 2 - pen.text * 0.35, formatLength(to - from, pen.show), pen, side === 'left' ? 'end' : 'start')}`;
}

function level(from: number, to: number, y: number, pen: Pen): Markup {
  const tick = pen.text * 0.3;
  return html`<path
      d="M${mm(from)} ${mm(-y - tick)}v${mm(2 * tick)}M${mm(to)} ${mm(-y - tick)}v${mm(2 * tick)}M${mm(from)} ${mm(-y)}H${mm(to)}"
      stroke="${INK}"
      stroke-width="${mm(pen.thin)}"
      fill="none"
    />${word((from + to) / 2, y - pen.text * 1.1, `${formatLength(to - from, pen.show)} inside, with room for all of it`, pen)}`;
}
