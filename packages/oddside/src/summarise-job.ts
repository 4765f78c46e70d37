/** The job in a terminal's worth of words. */
import { describeLie, massRange, VERDICT_WORDS, volumeWords } from '@oddside/card';
import {
  convertSentence,
  formatArea,
  formatLength,
  formatMass,
  formatShare,
  formatTemperature,
  formatVolume,
  formatVolumeWithin,
  plainNumber,
} from '@oddside/core';
import type { CastingJob } from './casting-job.js';

const WIDTH = 100;

/** A readable summary, cautions first. Lines of at most 100 characters. */
export function summariseJob(job: CastingJob): string {
  const { mould, metal, sizes, measures, inspection, show } = job;
  const { assessment } = mould.candidate;
  const out: string[] = [];
  const heading = (text: string): void => void out.push('', text);
  const say = (text: string): void => void out.push(...wrap(convertSentence(text, show), '  '));

  out.push(...wrap(job.banner, ''));
  heading(`${job.pattern.name}, ${job.alloyName}`);
  say(
    `${inspection.triangles} triangles read in ${job.pattern.unit.name}; ${inspection.closed && inspection.consistent ? 'closed and consistent' : 'not sound'}. ` +
      `Volume ${volumeWords(measures.volumeMm3, measures.volumeErrorMm3, measures.reliable, show)}.`,
  );

  heading('How it lies');
  say(
    `${describeLie(mould.direction)}; draw (${mould.direction.map((part) => part.toFixed(3)).join(', ')}). ${VERDICT_WORDS[mould.candidate.verdict]}.`,
  );
  say(mould.candidate.reason);
  say(mould.candidate.otherWayUp.sentence);
  say(
    `Back draft ${formatVolumeWithin(assessment.backDraftMm3, assessment.backDraftErrorMm3, show)}, seen in columns of ${formatLength(assessment.column, show)}.`,
  );
  for (const remedy of job.remedies.slice(0, 4)) say(`cure: ${remedy.sentence}`);

  heading('Other ways');
  for (const candidate of job.advice.candidates) {
    if (candidate.rank === mould.candidate.rank) continue;
    const { backDraftMm3, flat } = candidate.assessment;
    say(
      `${candidate.rank}. along (${candidate.direction.map((part) => part.toFixed(2)).join(', ')}): held ${formatVolume(backDraftMm3, show)}, flat joint traps ${formatVolume(flat.misfitMm3, show)} more; ${plainNumber(candidate.points)} points.`,
    );
  }

  heading('Mould');
  say(
    `Joint ${formatLength(mould.dragDepth, show)} above the lowest point. Cope: ${formatLength(mould.copeDepth, show)} of pattern, at least ${formatLength(mould.sand.copeHeight, show)} deep. ` +
      `Drag: ${formatLength(mould.dragDepth, show)}, at least ${formatLength(mould.sand.dragHeight, show)} deep. Flask inside at least ${formatLength(mould.sand.flaskLength, show)} × ${formatLength(mould.sand.flaskWidth, show)}, sprue and feeders extra.`,
  );
  say(`The metal can lift the cope on ${formatArea(assessment.shadowAreaMm2, show)}.`);

  if (job.flasks) {
    const { best, misfits } = job.flasks;
    say(best ? `Your flask ${best.flask.name} is the smallest that fits.` : 'None of your flasks fits.');
    for (const { flask, reason } of misfits) say(`${flask.name}: ${reason}`);
  }

  heading('Pattern');
  say(
    `Contraction ${formatShare(sizes.contraction.value)}: the pattern is the scan × ${plainNumber(sizes.patternScale, 5)}, ${sizes.pattern.map((side) => formatLength(side, show)).join(' × ')}; the casting comes out ${sizes.casting.map((side) => formatLength(side, show)).join(' × ')}.`,
  );

  heading('Melt');
  say(
    `Casting ${formatMass(metal.castingMassKg.value, show)} (${massRange(metal.castingMassKg, show)}); ${formatMass(metal.meltMassKg.value, show)} wanted in the pot at a yield of ${formatShare(metal.yieldFraction.value, 2)}.`,
  );
  for (const line of metal.charge) say(`weigh in ${line.name}: ${formatMass(line.massKg, show)}`);
  const { light, heavy } = metal.pouringTemperatureC;
  say(
    `Pour at ${formatTemperature(light.value, show)} if thin or small, ${formatTemperature(heavy.value, show)} if thick.`,
  );
  say(metal.verdict.text);

  if (job.findings.length > 0) heading('Findings');
  for (const finding of job.findings) say(`${finding.severity}: ${finding.message} ${finding.remedy ?? ''}`.trim());
  heading('Cautions');
  for (const caution of job.cautions.slice(0, 4)) say(caution.text);
  if (job.cautions.length > 4)
    say(`… and ${job.cautions.length - 4} more on the mould card. Read them before you light up.`);
  return `${out.join('\n')}\n`;
}

/** Breaks text at blanks; continued lines keep the indent. */
function wrap(text: string, indent: string): string[] {
  const lines: string[] = [];
  let line = indent;
  for (const word of text.split(' ')) {
    if (line.length > indent.length && line.length + word.length + 1 > WIDTH) {
      lines.push(line);
      line = indent;
    }
    line += line.length > indent.length ? ` ${word}` : word;
  }
  lines.push(line);
  return lines;
}
