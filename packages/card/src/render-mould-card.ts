/** The mould card: one page that opens from disk, prints on paper, and needs nothing else. */
import {
  asPounds,
  degrees,
  formatArea,
  formatLength,
  formatMass,
  formatShare,
  formatTemperature,
  formatVolume,
  gravestFirst,
  plainNumber,
  type UnitSystem,
  type Vec3,
} from '@oddside/core';
import type { PartingCandidate } from '@oddside/parting';
import { CARD_STYLE } from './card-style.js';
import { figureOf, legendOf, sideFigure } from './draw-figures.js';
import { html, NO_MARKUP, type Markup } from './html.js';
import type { MouldCardJob } from './job.js';

/**
 * Renders the card of a job.
 *
 * @returns A complete HTML page: no script, no network, pictures inside. Cost: a few ms.
 */
export function renderMouldCard(job: MouldCardJob): string {
  const page = html`<!doctype html>
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <title>Mould card: ${job.pattern.name}</title>
        <style>
          ${{ html: CARD_STYLE }}
        </style>
      </head>
      <body>
        <main>
          <h1>${job.pattern.name}</h1>
          <p class="under">
            Mould card, ${job.alloyName}. Every number is an estimate with its error; lengths are of the pattern as
            rammed unless said.
          </p>
          <p class="banner">${job.banner}</p>
          ${glance(job)} ${problems(job)}
          <h2>How it lies</h2>
          ${views(job)}
          <h2>Ways to lay it, compared</h2>
          ${candidates(job)}
          <h2>Pattern</h2>
          ${patternTable(job)}
          <h2>Mould</h2>
          ${mouldTable(job)}
          <h2>Melt</h2>
          ${melt(job)}
          <h2>Before you pour</h2>
          <ul class="cautions">
            ${job.cautions.map((caution) => html`<li>${caution.text}</li>`)}
          </ul>
          ${otherFindings(job)}
          <h2>Where the numbers come from</h2>
          ${workings(job)}
        </main>
      </body>
    </html> `;
  return page.html;
}

/** The answer to "will it draw?" in three words or so. */
export const VERDICT_WORDS: Readonly<Record<PartingCandidate['verdict'], string>> = Object.freeze({
  'draws-flat': 'Yes, with a flat joint',
  'draws-shaped': 'Yes, with a shaped joint',
  'nearly-draws': 'Nearly: ease a few places',
  held: 'No: sand is held',
});

function glance(job: MouldCardJob): Markup {
  const { mould, metal, show } = job;
  const dig = mould.joint.misfitMm3;
  return html`<div class="glance">
    <section>
      <h3>How it lies</h3>
      <p class="big">${describeLie(mould.direction)}</p>
      <p>
        ${wayWords(job)} ${formatLength(mould.copeDepth, show)} in the cope, ${formatLength(mould.dragDepth, show)} in
        the drag.
      </p>
    </section>
    <section>
      <h3>Where it parts</h3>
      <p class="big">${dig > 0.001 * mould.candidate.assessment.solidMm3 ? 'Follow the pattern' : 'Flat'}</p>
      <p>
        Flat joint ${formatLength(mould.dragDepth, show)} above the pattern’s lowest point. A flat joint traps
        ${formatVolume(dig, show)} to cope down or bed in an odd-side.
      </p>
    </section>
    <section>
      <h3>Will it draw</h3>
      <p class="big">${VERDICT_WORDS[mould.candidate.verdict]}</p>
      <p>${heldText(job)}</p>
    </section>
    <section>
      <h3>What to melt</h3>
      <p class="big">${formatMass(metal.chargeMassKg.value, show)} ${job.alloyName}</p>
      <p>
        for a casting of ${formatMass(metal.castingMassKg.value, show)} (${range(metal.castingMassKg, show)}), at a
        yield of ${formatShare(metal.yieldFraction.value, 2)}.
      </p>
    </section>
  </div>`;
}

/** How it lies in words: which axis of the file points up, and how far the draw leans off it and which way. */
export function describeLie(direction: Vec3): string {
  const named = direction
    .map((part, i) => ({ size: Math.abs(part), name: `${part < 0 ? '−' : '+'}${'xyz'[i]}` }))
    .sort((a, b) => b.size - a.size);
  const [up, towards] = named as [{ size: number; name: string }, { size: number; name: string }];
  const leanDeg = degrees(Math.acos(Math.min(1, up.size)));
  if (leanDeg < 0.05) return `${up.name} of the file up`;
  return `${up.name} of the file up, leaning ${plainNumber(leanDeg, 2)}° towards ${towards.name}`;
}

const wayWords = (job: MouldCardJob): string => {
  const { rank } = job.mould.candidate;
  return rank === 0 ? 'As you chose.' : rank === 1 ? 'Way 1, the best found.' : `Way ${rank} of those found.`;
};

function heldText(job: MouldCardJob): string {
  const { assessment } = job.mould.candidate;
  const column = `columns ${formatLength(assessment.column, job.show)} wide`;
  const error = formatVolume(assessment.backDraftErrorMm3, job.show, 2);
  if (assessment.backDraftMm3 === 0) return `Back draft 0 (± ${error}), seen in ${column}.`;
  return `Back draft ${formatVolume(assessment.backDraftMm3, job.show)} ± ${error}, seen in ${column}.`;
}

const range = (mass: { low: number; high: number }, show: UnitSystem): string =>
  show === 'imperial'
    ? `${plainNumber(asPounds(mass.low))}–${formatMass(mass.high, show)}`
    : `${formatMass(mass.low, 'metric')} to ${formatMass(mass.high, 'metric')}`;

function problems(job: MouldCardJob): Markup {
  const grave = job.findings.filter((finding) => finding.severity === 'problem');
  return grave.length === 0
    ? NO_MARKUP
    : html`<h2>Settle first</h2>
        ${findingList(grave)}`;
}

function otherFindings(job: MouldCardJob): Markup {
  const rest = gravestFirst(job.findings.filter((finding) => finding.severity !== 'problem'));
  return rest.length === 0
    ? NO_MARKUP
    : html`<h2>Worth knowing</h2>
        ${findingList(rest)}`;
}

function findingList(findings: MouldCardJob['findings']): Markup {
  const items = findings.map(
    (finding) =>
      html`<li class="${finding.severity}">
        ${finding.message}${finding.remedy ? html` <b>${finding.remedy}</b>` : NO_MARKUP}
      </li>`,
  );
  return html`<ul class="findings">
    ${items}
  </ul>`;
}

function views(job: MouldCardJob): Markup {
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

function candidates(job: MouldCardJob): Markup {
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
      <table>
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

const row = (label: string, ...values: string[]): Markup =>
  html`<tr>
    <th scope="row">${label}</th>
    ${values.map((value) => html`<td>${value}</td>`)}
  </tr>`;

function patternTable(job: MouldCardJob): Markup {
  const { sizes, measures, inspection, show } = job;
  const three = (size: readonly number[]): string => size.map((side) => formatLength(side, show)).join(' × ');
  const sound =
    inspection.closed && inspection.consistent ? 'Closed and consistent' : 'Not sound: see what to settle first';
  const note =
    sizes.meshIs === 'casting'
      ? 'The scan is taken for the casting as it should be, so the pattern is made larger.'
      : 'The scan is taken for the pattern as it will be rammed, so the casting comes out smaller.';
  return html`<table>
    <tbody>
      ${[
        row('Scan', `${inspection.triangles} triangles, read in ${job.pattern.unit.name}. ${sound}.`),
        row(
          'Contraction',
          `${formatShare(sizes.contraction.value)} of the casting’s length (${formatShare(sizes.contraction.low)}–${formatShare(sizes.contraction.high)}). ${note}`,
        ),
        row('Pattern to make', `${three(sizes.pattern)}; the scan × ${plainNumber(sizes.patternScale, 5)}`),
        row('Casting comes out', three(sizes.casting)),
        row(
          'Volume of the casting',
          volumeWords(sizes.castingVolumeMm3, sizes.castingVolumeErrorMm3, measures.reliable, show),
        ),
      ]}
    </tbody>
  </table>`;
}

/** A volume with its error; an error that is only rounding is called what it is. */
export function volumeWords(volumeMm3: number, errorMm3: number, reliable: boolean, show: UnitSystem): string {
  const volume = formatVolume(volumeMm3, show, 4);
  if (!reliable) return `${volume} ± ${formatVolume(errorMm3, show, 2)}, not to be relied on`;
  return errorMm3 < 1e-6 * volumeMm3
    ? `${volume}, exact for this mesh`
    : `${volume} ± ${formatVolume(errorMm3, show, 2)}`;
}

function mouldTable(job: MouldCardJob): Markup {
  const { mould, show } = job;
  const { sand, joint } = mould;
  const flat = joint.high - joint.low;
  return html`<table>
    <tbody>
      ${[
        row(
          'Cope',
          `${formatLength(mould.copeDepth, show)} of pattern + ${formatLength(sand.above, show)} of sand above: at least ${formatLength(sand.copeHeight, show)} deep`,
        ),
        row(
          'Drag',
          `${formatLength(mould.dragDepth, show)} of pattern + ${formatLength(sand.below, show)} of sand below: at least ${formatLength(sand.dragHeight, show)} deep`,
        ),
        row(
          'Flask inside',
          `at least ${formatLength(sand.flaskLength, show)} × ${formatLength(sand.flaskWidth, show)}, with ${formatLength(sand.beside, show)} beside the pattern; room for sprue and feeders is extra`,
        ),
        row(
          'Flat joint',
          flat > 1e-6
            ? `anywhere within ${formatLength(flat, show)} is as good; drawn where the cope is least`
            : 'one best height',
        ),
        row('Dig or build', `${formatVolume(joint.misfitMm3, show)} with a flat joint`),
        row('Sand figures', sand.source),
      ]}
    </tbody>
  </table>`;
}

function melt(job: MouldCardJob): Markup {
  const { metal, show } = job;
  const lines = metal.charge.map(
    (line) =>
      html`<tr>
        <td><span class="box" role="img" aria-label="tick when weighed"></span></td>
        <th scope="row">${line.name}</th>
        <td class="n">${formatShare(line.share)}</td>
        <td class="n">${formatMass(line.massKg, show)}</td>
        <td class="n">${formatShare(line.lossFraction, 2)}</td>
      </tr>`,
  );
  const { light, heavy } = metal.pouringTemperatureC;
  const warm = (range: { low: number; high: number }): string =>
    `${formatTemperature(range.low, show)} to ${formatTemperature(range.high, show)}`;
  const pot =
    metal.crucible.number === undefined
      ? 'No single pot of the usual numbers holds it.'
      : `A No. ${metal.crucible.number} bilge pot is ${formatShare(metal.crucible.fullness ?? 0, 2)} full.`;
  return html`<p><b>${metal.verdict.text}</b></p>
    <div class="wide">
      <table>
        <thead>
          <tr>
            <th></th>
            <th>Weigh in</th>
            <th class="n">Share of the melt</th>
            <th class="n">Mass</th>
            <th class="n">Melt loss allowed</th>
          </tr>
        </thead>
        <tbody>
          ${lines}
          <tr>
            <td></td>
            <th scope="row">Together</th>
            <td></td>
            <td class="n"><b>${formatMass(metal.chargeMassKg.value, show)}</b></td>
            <td></td>
          </tr>
        </tbody>
      </table>
    </div>
    <table>
      <tbody>
        ${[
          row('Casting', `${formatMass(metal.castingMassKg.value, show)} (${range(metal.castingMassKg, show)})`),
          row(
            'Metal wanted in the pot',
            `${formatMass(metal.meltMassKg.value, show)} (${range(metal.meltMassKg, show)})`,
          ),
          row('Pot', pot),
          row('Pouring temperature', `thin or small: ${warm(light)}; thick: ${warm(heavy)}`),
        ]}
      </tbody>
    </table>`;
}

function workings(job: MouldCardJob): Markup {
  const rows = job.metal.workings.map(
    (working) =>
      html`<tr>
        <th scope="row">${working.formula}</th>
        <td>${working.expression}</td>
        <td class="n">
          ${plainNumber(working.result.value, 4)} ${working.result.unit === '1' ? '' : working.result.unit}
        </td>
        <td>${working.reference.source} <small>(${working.reference.status})</small></td>
      </tr>`,
  );
  return html`<div class="wide">
    <table class="small">
      <tbody>
        ${rows}
      </tbody>
    </table>
  </div>`;
}
