/** The card at first glance: how it lies, where it parts, will it draw, what to melt; and what was found. */
import {
  convertSentence,
  formatLength,
  formatMass,
  formatShare,
  formatVolume,
  formatVolumeWithin,
  gravestFirst,
} from '@oddside/core';
import { html, NO_MARKUP, type Markup } from './html.js';
import type { MouldCardJob } from './job.js';
import { MOST_CURES, numberOf, placesOf } from './number-places.js';
import { describeLie, massRange, VERDICT_WORDS } from './words.js';

export function glance(job: MouldCardJob): Markup {
  const { mould, metal, show } = job;
  return html`<div class="glance">
    <section>
      <h2>How it lies</h2>
      <p class="big">${describeLie(mould.direction)}</p>
      <p>
        ${wayWords(job)} ${formatLength(mould.copeDepth, show)} in the cope, ${formatLength(mould.dragDepth, show)} in
        the drag.
      </p>
    </section>
    <section>
      <h2>Where it parts</h2>
      ${whereItParts(job)}
    </section>
    <section>
      <h2>Will it draw</h2>
      <p class="big">${VERDICT_WORDS[mould.candidate.verdict]}</p>
      <p>${heldText(job)}</p>
    </section>
    <section>
      <h2>What to melt</h2>
      <p class="big">${formatMass(metal.chargeMassKg.value, show)} ${job.alloyName}</p>
      <p>
        for a casting of ${formatMass(metal.castingMassKg.value, show)} (${massRange(metal.castingMassKg, show)}), at a
        yield of ${formatShare(metal.yieldFraction.value, 2)}.
      </p>
    </section>
  </div>`;
}

/** Shares of the pattern under this are not worth digging for. */
const WORTH_DIGGING = 0.001;

function whereItParts({ mould, surface, show }: MouldCardJob): Markup {
  const { joint } = mould;
  const worth = WORTH_DIGGING * mould.candidate.assessment.solidMm3;
  const at = `Flat joint ${formatLength(mould.dragDepth, show)} above the pattern’s lowest point.`;
  if (joint.misfitMm3 <= worth)
    return html`<p class="big">Flat</p>
      <p>${at}</p>`;
  // A cup or a ring seems to be trapped by a flat joint, but inside its outline the pattern itself parts the sand.
  if (surface?.feasible && surface.copeDownMm3 + surface.buildUpMm3 <= worth) {
    return html`<p class="big">Flat outside the pattern</p>
      <p>${at} Inside the outline the pattern itself parts the sand.</p>`;
  }
  return html`<p class="big">Follow the pattern</p>
    <p>${at} A flat joint traps ${formatVolume(joint.misfitMm3, show)} to cope down or bed in an odd-side.</p>`;
}

const wayWords = (job: MouldCardJob): string => {
  const { rank } = job.mould.candidate;
  return rank === 0 ? 'As you chose.' : rank === 1 ? 'Way 1, the best found.' : `Way ${rank} of those found.`;
};

function heldText(job: MouldCardJob): string {
  const { assessment } = job.mould.candidate;
  const column = `columns ${formatLength(assessment.column, job.show)} wide`;
  const { backDraftMm3, backDraftErrorMm3 } = assessment;
  return `Back draft ${formatVolumeWithin(backDraftMm3, backDraftErrorMm3, job.show)}, seen in ${column}.`;
}

export function problems(job: MouldCardJob): Markup {
  const grave = job.findings.filter((finding) => finding.severity === 'problem');
  return grave.length === 0
    ? NO_MARKUP
    : html`<section class="part">
        <h2>Settle first</h2>
        ${findingList(grave, job)}
      </section>`;
}

export function cures(job: MouldCardJob): Markup {
  const remedies = job.remedies ?? [];
  if (remedies.length === 0) return NO_MARKUP;
  const places = placesOf(job);
  const items = remedies.slice(0, MOST_CURES).map(({ sentence, laidAt }) => {
    const number = numberOf(places, laidAt);
    const place = number === 0 ? NO_MARKUP : html`<strong>Place ${String(number)}.</strong> `;
    return html`<li>${place}${convertSentence(sentence, job.show)}</li>`;
  });
  return html`<section class="part">
    <h2>What can be done</h2>
    <ul class="cures">
      ${items}
    </ul>
    <p class="small">
      Each by itself; the least trouble
      first.${places.length > 0 ? ' Places are numbered in the views from above and below.' : ''}
    </p>
  </section>`;
}

export function otherFindings(job: MouldCardJob): Markup {
  const rest = gravestFirst(job.findings.filter((finding) => finding.severity !== 'problem'));
  return rest.length === 0
    ? NO_MARKUP
    : html`<section class="part knowing">
        <h2>Worth knowing</h2>
        ${findingList(rest, job)}
      </section>`;
}

function findingList(findings: MouldCardJob['findings'], { show }: MouldCardJob): Markup {
  const said = (sentence: string): string => convertSentence(sentence, show);
  const items = findings.map(
    (finding) =>
      html`<li class="${finding.severity}">
        ${said(finding.message)}${finding.remedy ? html` <b>${said(finding.remedy)}</b>` : NO_MARKUP}
      </li>`,
  );
  return html`<ul class="findings">
    ${items}
  </ul>`;
}
