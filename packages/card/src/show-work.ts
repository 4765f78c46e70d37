/** The work in its order: pattern, mould, melt, pour, after, and where the numbers come from. */
import {
  convertSentence,
  formatLength,
  formatMass,
  formatShare,
  formatTemperature,
  formatVolume,
  plainNumber,
} from '@oddside/core';
import { html, type Markup } from './html.js';
import type { MouldCardJob } from './job.js';
import { massRange, volumeWords } from './words.js';

const row = (label: string, ...values: string[]): Markup =>
  html`<tr>
    <th scope="row">${label}</th>
    ${values.map((value) => html`<td>${value}</td>`)}
  </tr>`;

export function patternTable(job: MouldCardJob): Markup {
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

export function mouldTable(job: MouldCardJob): Markup {
  const { mould, show } = job;
  const { joint } = mould;
  const { margins, sand, copeHeight, dragHeight, flaskLength, flaskWidth } = mould.sand;
  const flat = joint.high - joint.low;
  const half = (depth: number, cover: number, whole: number, mass: number): string =>
    `${formatLength(depth, show)} of pattern + ${formatLength(cover, show)} of sand: at least ${formatLength(whole, show)} deep; about ${formatMass(mass, show)} of rammed sand`;
  return html`<table>
    <tbody>
      ${[
        row('Cope', half(mould.copeDepth, margins.above.value, copeHeight, sand.cope.massKg.value)),
        row('Drag', half(mould.dragDepth, margins.below.value, dragHeight, sand.drag.massKg.value)),
        row(
          'Flask inside',
          `at least ${formatLength(flaskLength, show)} × ${formatLength(flaskWidth, show)}, with ${formatLength(margins.toWall.value, show)} beside the pattern; room for sprue and feeder is extra`,
        ),
        row('Flat joint', flat > 0.1 ? `anywhere within ${formatLength(flat, show)} is as good` : 'one best height'),
        row(
          'Dig or build',
          `${digging(job)}; run a coped-out joint to the flat over about ${formatLength(margins.copingSkirt.value, show, 2)}`,
        ),
        ...flaskRows(job),
      ]}
    </tbody>
  </table>`;
}

/** What must be dug for a shaped joint where one was shaped; else what a flat one traps. */
function digging(job: MouldCardJob): string {
  const { surface, show } = job;
  if (!surface?.feasible) return `${formatVolume(job.mould.joint.misfitMm3, show)} trapped by a flat joint`;
  return `cope down ${formatVolume(surface.copeDownMm3, show)}, build up ${formatVolume(surface.buildUpMm3, show)} (± ${formatVolume(surface.volumeErrorMm3, show, 2)})`;
}

function flaskRows({ flasks, show }: MouldCardJob): Markup[] {
  if (!flasks) return [];
  const others = flasks.misfits.map(({ flask, reason }) => `${flask.name}: ${reason}`).join(' ');
  const best = flasks.best ? `${flasks.best.flask.name} is the smallest that fits.` : 'None of them fits.';
  return [row('Your flasks', convertSentence(`${best} ${others}`.trim(), show))];
}

export function pourTable(job: MouldCardJob): Markup {
  const { show } = job;
  const { plan, lift, weights } = job.pour;
  const { gating, feeder } = plan;
  const { sprue, well, runner, gates, basin } = gating.parts;
  const size = (length: number): string => formatLength(length, show, 2);
  return html`<table>
    <tbody>
      ${[
        row(
          'Pouring time',
          `${plainNumber(plan.timeS.value, 2)} s (${plainNumber(plan.timeS.low, 2)}–${plainNumber(plan.timeS.high, 2)} s), without a break`,
        ),
        row(
          'Sprue',
          `${size(sprue.topDiameter)} at the top narrowing to ${size(sprue.exitDiameter)} (the choke), ${size(sprue.length)} long; keep it full from a basin ${size(basin.depth)} deep`,
        ),
        row(
          'Well and runner',
          `well ${size(well.diameter)} across, ${size(well.depth)} deep; runner ${size(runner.side)} square, past the last gate`,
        ),
        row(
          'Gates',
          `${gates.count}, each ${size(gates.width)} wide × ${size(gates.height)} high, on the joint; metal enters at ${plainNumber(gating.gateVelocityMS, 2)} m/s (${plainNumber(gating.criticalVelocityMS, 2)} is the most it bears)`,
        ),
        row(
          'Feeder',
          feeder && feeder.by !== 'none needed'
            ? `${size(feeder.diameter)} across × ${size(feeder.height)} high by the heaviest section, neck ${size(feeder.neck.diameter)} across and at most ${size(feeder.neck.length)} long`
            : 'none needed by the rules used',
        ),
        row(
          'Lift on the cope',
          `${formatMass(lift.liftKg.value, show)}-weight, at most ${formatMass(lift.liftKg.high, show)}`,
        ),
        row(
          'Weights',
          weights.weightMassKg > 0
            ? `put ${formatMass(weights.weightMassKg, show)} on the cope, or clamp it`
            : 'by the numbers the cope holds itself; clamp or weight it all the same',
        ),
      ]}
    </tbody>
  </table>`;
}

export function afterTable(job: MouldCardJob): Markup {
  const { shakeOut } = job.pour;
  const minutes = (timeS: number): string => plainNumber(timeS / 60, 2);
  return html`<table>
    <tbody>
      ${[
        row(
          'Break the mould',
          `not before ${minutes(shakeOut.timeS.value)} min (${minutes(shakeOut.timeS.low)}–${minutes(shakeOut.timeS.high)}); it freezes in ${minutes(shakeOut.freezingTimeS.low)}–${minutes(shakeOut.freezingTimeS.high)} min. A rough figure: longer does no harm`,
        ),
        row(
          'The casting weighs',
          `${formatMass(job.metal.castingMassKg.value, job.show)} (${massRange(job.metal.castingMassKg, job.show)}); weigh it and note it here: ______`,
        ),
      ]}
    </tbody>
  </table>`;
}

export function melt(job: MouldCardJob): Markup {
  const { metal, show } = job;
  const lines = metal.charge.map(
    (line) =>
      html`<tr>
        <td><span class="box" role="img" aria-label="tick when weighed"></span></td>
        <th scope="row">${line.name}</th>
        <td class="n" data-label="Share of the melt">${formatShare(line.share)}</td>
        <td class="n" data-label="Mass">${formatMass(line.massKg, show)}</td>
        <td class="n" data-label="Melt loss allowed">${formatShare(line.lossFraction, 2)}</td>
      </tr>`,
  );
  const { light, heavy } = metal.pouringTemperatureC;
  const warm = (range: { low: number; high: number }): string =>
    `${formatTemperature(range.low, show)} to ${formatTemperature(range.high, show)}`;
  const pot =
    metal.crucible.number === undefined
      ? 'No single pot of the usual numbers holds it.'
      : `A No. ${metal.crucible.number} bilge pot is ${formatShare(metal.crucible.fullness ?? 0, 2)} full.`;
  return html`<p><b>${convertSentence(metal.verdict.text, show)}</b></p>
    <div class="wide">
      <table class="stack charge">
        <thead>
          <tr>
            <th scope="col">Done</th>
            <th scope="col">Weigh in</th>
            <th class="n">Share of the melt</th>
            <th class="n">Mass</th>
            <th class="n">Melt loss allowed</th>
          </tr>
        </thead>
        <tbody>
          ${lines}
          <tr>
            <td class="empty"></td>
            <th scope="row">Together</th>
            <td class="empty"></td>
            <td class="n" data-label="Mass"><b>${formatMass(metal.chargeMassKg.value, show)}</b></td>
            <td class="empty"></td>
          </tr>
        </tbody>
      </table>
    </div>
    <table>
      <tbody>
        ${[
          row('Casting', `${formatMass(metal.castingMassKg.value, show)} (${massRange(metal.castingMassKg, show)})`),
          row(
            'Metal wanted in the pot',
            `${formatMass(metal.meltMassKg.value, show)} (${massRange(metal.meltMassKg, show)})`,
          ),
          row('Pot', pot),
          row('Pouring temperature', `thin or small: ${warm(light)}; thick: ${warm(heavy)}`),
        ]}
      </tbody>
    </table>`;
}

export function workings(job: MouldCardJob): Markup {
  // The formulas and their sources are metric; whoever reads inches gets both.
  const said = (text: string): string => convertSentence(text, job.show === 'metric' ? 'metric' : 'both');
  const rows = job.metal.workings.map(
    ({ formula, expression, result, reference }) =>
      html`<tr>
        <th scope="row">${formula}</th>
        <td>${said(expression)}</td>
        <td class="n">${said(`${plainNumber(result.value, 4)} ${result.unit === '1' ? '' : result.unit}`)}</td>
        <td>${said(reference.source)} <small>(${reference.status})</small></td>
      </tr>`,
  );
  return html`<div class="wide">
    <table class="small stack">
      <tbody>
        ${rows}
      </tbody>
    </table>
  </div>`;
}
