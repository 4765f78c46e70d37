/** The pattern as it lies, and the ways to lay it compared. */
import { formatArea, formatLength, formatShare, formatVolume, plainNumber } from '@oddside/core';
import { figureOf, legendOf, sideFigure } from './draw-figures.js';
import { html, type Markup } from './html.js';
import type { MouldCardJob } from './job.js';
import { VERDICT_WORDS } from './words.js';

export function views(job: MouldCardJob): Markup {
  const figures = job.pictures.map((picture) =>
    picture.id === 'side' ? sideFigure(picture, job.mould, job.sizes, job.show) : figureOf(picture),
  );
  return html`<div class="views">${figures}</div>
    ${legendOf(tonesShown(job))}`;
}

/** The tones that at least one picture shows, in their own order. */
function tonesShown(job: MouldCardJob): number[] {
  const shown = new Set(job.pictures.flatMap((picture) => picture.tones));
  return [...shown].sort((a, b) => a - b);
}

export function candidates(job: MouldCardJob): Markup {
  const rows = job.advice.candidates.map((candidate) => {
    const { assessment, rank } = candidate;
    const chosen = rank === job.mould.candidate.rank ? 'chosen' : '';
    return html`<tr class="${chosen}">
      <th scope="row">${rank}</th>
      <td>${VERDICT_WORDS[candidate.verdict]}</td>
      <td class="n">${formatVolume(assessment.backDraftMm3, job.show)}</td>
      <td class="n">${formatVolume(assessment.flat.misfitMm3, job.show)}</td>
      <td class="n">${formatLength(assessment.copeDepth, job.show)}</td>
      <td class="n">${formatLength(assessment.dragDepth, job.show)}</td>
      <td class="n">${formatArea(assessment.shadowAreaMm2, job.show)}</td>
      <td class="n">${formatShare(assessment.draft.shallowShare, 2)}</td>
      <td class="n">${plainNumber(candidate.points)}</td>
    </tr>`;
  });
  const chosen = job.mould.candidate;
  const reasons = chosen.criteria.map(
    (criterion) =>
      html`<tr>
        <th scope="row">${criterion.label}</th>
        <td>${criterion.sentence}</td>
        <td class="n">${plainNumber(criterion.share * 100)} %</td>
        <td class="n">${plainNumber(criterion.weight)}</td>
        <td class="n">${plainNumber(criterion.points)}</td>
      </tr>`,
  );
  const { search } = job.advice;
  return html`<div class="wide">
      <table class="ways">
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
            <th class="n">Points</th>
          </tr>
        </thead>
        <tbody>
          ${rows}
        </tbody>
      </table>
    </div>
    <p>${chosen.reason}</p>
    <div class="wide">
      <table>
        <thead>
          <tr>
            <th>Why</th>
            <th></th>
            <th class="n">Share</th>
            <th class="n">Weight</th>
            <th class="n">Points</th>
          </tr>
        </thead>
        <tbody>
          ${reasons}
        </tbody>
      </table>
    </div>
    <p class="small">
      Fewer points are better. ${search.drawsLookedAt} draws were looked at; before refinement none lies further than
      ${plainNumber(search.coveringRadiusDeg, 2)}° from one of them.
    </p>`;
}
