/** The pattern as it lies, and the ways to lay it compared. */
import { convertSentence, formatArea, formatLength, formatShare, formatVolume, plainNumber } from '@oddside/core';
import { figureOf, legendOf, sideFigure } from './draw-figures.js';
import { jointFigure } from './draw-joint.js';
import { sectionFigure } from './draw-section.js';
import { html, NO_MARKUP, type Markup } from './html.js';
import type { MouldCardJob } from './job.js';
import { placeMarks, placesOf } from './number-places.js';
import type { Picture } from './picture.js';
import { TONES } from './tones.js';
import { VERDICT_WORDS } from './words.js';

/** The pictures that belong in each place of the card; whatever has a name of its own stays with the first. */
const isWay = (picture: Picture): boolean => picture.id.startsWith('way-');
const isDraft = (picture: Picture): boolean => picture.id.startsWith('draft');

export function views(job: MouldCardJob): Markup {
  const pictures = job.pictures.filter((picture) => !isWay(picture) && !isDraft(picture));
  const places = placesOf(job);
  const figures = pictures.map((picture) =>
    picture.id === 'side'
      ? sideFigure(picture, job.mould, job.sizes, job.show)
      : figureOf(picture, placeMarks(picture, places)),
  );
  return html`<div class="views">${figures}</div>
    ${legendOf(tonesShown(pictures), TONES)}`;
}

/** Maps of draft with their own legend; nothing where none was made. */
export function draftMaps(job: MouldCardJob): Markup {
  const pictures = job.pictures.filter(isDraft);
  const legend = pictures.find((picture) => picture.legend)?.legend;
  if (!legend) return NO_MARKUP;
  const { draft } = job.mould.candidate.assessment;
  return html`<section class="part draft">
    <h2>Draft</h2>
    <p>
      ${formatShare(draft.shallowShare, 2)} of the surface (${formatArea(draft.shallowAreaMm2, job.show)}) has less than
      the ${plainNumber(draft.requiredDeg)}° of draft asked for.
    </p>
    <div class="views">${pictures.map((picture) => figureOf(picture))}</div>
    ${legendOf(tonesShown(pictures), legend)}
  </section>`;
}

/** The joint as contours and the mould in section. */
export function mouldDrawings(job: MouldCardJob): Markup {
  const { line, surface, show } = job;
  const joint = line && surface ? jointFigure(line, surface, show) : NO_MARKUP;
  return html`<div class="drawings">${sectionFigure(job)}${joint}</div>`;
}

/** The tones that at least one of the pictures shows, in their own order. */
function tonesShown(pictures: readonly Picture[]): number[] {
  const shown = new Set(pictures.flatMap((picture) => picture.tones));
  return [...shown].sort((a, b) => a - b);
}

export function candidates(job: MouldCardJob): Markup {
  const rows = job.advice.candidates.map((candidate) => {
    const { assessment, rank } = candidate;
    const chosen = rank === job.mould.candidate.rank ? 'chosen' : '';
    return html`<tr class="${chosen}">
      <th scope="row"><span class="narrow">Way </span>${rank}</th>
      <td data-label="Draws?">${VERDICT_WORDS[candidate.verdict]}</td>
      <td class="n" data-label="Held">${formatVolume(assessment.backDraftMm3, job.show)}</td>
      <td class="n" data-label="Trapped by a flat joint">${formatVolume(assessment.flat.misfitMm3, job.show)}</td>
      <td class="n" data-label="In the cope">${formatLength(assessment.copeDepth, job.show)}</td>
      <td class="n" data-label="In the drag">${formatLength(assessment.dragDepth, job.show)}</td>
      <td class="n" data-label="Lift area">${formatArea(assessment.shadowAreaMm2, job.show)}</td>
      <td class="n" data-label="Short of draft">${formatShare(assessment.draft.shallowShare, 2)}</td>
      ${jointCells(candidate, job)}
      <td class="n" data-label="Points">${plainNumber(candidate.points)}</td>
    </tr>`;
  });
  const joints = job.advice.candidates.some(({ joint }) => joint);
  const chosen = job.mould.candidate;
  const reasons = chosen.criteria.map(
    (criterion) =>
      html`<tr>
        <th scope="row">${criterion.label}</th>
        <td>${convertSentence(criterion.sentence, job.show)}</td>
        <td class="n" data-label="Share">${plainNumber(criterion.share * 100)} %</td>
        <td class="n" data-label="Weight">${plainNumber(criterion.weight)}</td>
        <td class="n" data-label="Points">${plainNumber(criterion.points)}</td>
      </tr>`,
  );
  const { search } = job.advice;
  const thumbs = job.pictures.filter(isWay);
  return html`${thumbs.length > 0 ? html`<div class="thumbs">${thumbs.map((picture) => thumbOf(picture, job))}</div>` : NO_MARKUP}
    <div class="wide">
      <table class="ways stack">
        <thead>
          <tr>
            <th>Way</th>
            <th>Draws?</th>
            <th class="n">Held</th>
            <th class="n">Trapped by a flat joint</th>
            <th class="n">In the cope</th>
            <th class="n">In the drag</th>
            <th class="n">Lift area</th>
            <th class="n">Short of draft</th>
            ${
              joints
                ? html`<th class="n">Parting line</th>
                    <th class="n">Sand to move</th>`
                : NO_MARKUP
            }
            <th class="n">Points</th>
          </tr>
        </thead>
        <tbody>
          ${rows}
        </tbody>
      </table>
    </div>
    <p>${convertSentence(chosen.reason, job.show)}</p>
    ${chosen.otherWayUp ? html`<p>${chosen.otherWayUp.sentence}</p>` : NO_MARKUP}
    <details>
      <summary>How the points of this way come about</summary>
      <table class="stack">
        <thead>
          <tr>
            <th scope="col">Why</th>
            <th scope="col">In numbers</th>
            <th class="n">Share</th>
            <th class="n">Weight</th>
            <th class="n">Points</th>
          </tr>
        </thead>
        <tbody>
          ${reasons}
        </tbody>
      </table>
    </details>
    <p class="small">
      Fewer points are better. ${search.drawsLookedAt} draws were looked at; before refinement none lies further than
      ${plainNumber(search.coveringRadiusDeg, 2)}° from one of them.
    </p>`;
}

/** Length of the line and what its joint moves; nothing where they were not worked out, as in jobs of old. */
function jointCells({ joint }: MouldCardJob['advice']['candidates'][number], { show }: MouldCardJob): Markup {
  if (!joint) return NO_MARKUP;
  const moved = joint.copeDownMm3 + joint.buildUpMm3;
  return html`<td class="n" data-label="Parting line">${formatLength(joint.lineLength, show)}</td>
    <td class="n" data-label="Sand to move">${formatVolume(moved, show)}</td>`;
}

/** A candidate as a small picture with the numbers that tell it from the others. */
function thumbOf(picture: Picture, job: MouldCardJob): Markup {
  const rank = Number(picture.id.slice('way-'.length));
  const candidate = job.advice.candidates.find((each) => each.rank === rank);
  if (!candidate) return figureOf(picture);
  const { assessment } = candidate;
  const chosen = rank === job.mould.candidate.rank;
  const caption = html`<b>Way ${rank}${chosen ? ', followed here' : ''}</b
    ><span class="more"
      ><br />${VERDICT_WORDS[candidate.verdict]}<br />held ${formatVolume(assessment.backDraftMm3, job.show, 2)}, flat
      joint traps ${formatVolume(assessment.flat.misfitMm3, job.show, 2)}<br />${plainNumber(candidate.points)}
      points</span
    >`;
  return figureOf(picture, NO_MARKUP, 0, caption);
}
