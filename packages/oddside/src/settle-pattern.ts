/** From what was read to what can be planned: looked over, mended where it must be, and measured with an honest error. */
import { startPacing, type Finding, type TaskOptions } from '@oddside/core';
import {
  inspectPattern,
  measurePatternInPieces,
  mendPattern,
  type Inspection,
  type Measures,
  type Mended,
  type Pattern,
} from '@oddside/pattern';

/** A pattern ready to be planned. */
export interface SettledPattern {
  /** As read, or mended. */
  readonly pattern: Pattern;
  /** Of the pattern above. */
  readonly inspection: Inspection;
  /** Of the pattern above; the volume's error is that of the pattern as read, because closing a hole is a guess. */
  readonly measures: Measures;
  /** What mending did, in order; empty where nothing was mended. */
  readonly mending: Mended['steps'];
  readonly findings: readonly Finding[];
}

/** Settles a pattern. With `mend` false it is only looked over, and turned where it is inside out as a whole. */
export async function settlePattern(read: Pattern, mend: boolean, task: TaskOptions): Promise<SettledPattern> {
  const pacer = startPacing({ signal: task.signal });
  const inspection = inspectPattern(read);
  await pacer.step(0);
  const measures = await measurePatternInPieces(read, { signal: task.signal });
  await pacer.step(0);
  const sound = inspection.closed && inspection.consistent;
  if (sound || !mend) {
    const findings = [...read.findings, ...inspection.findings, ...measures.findings];
    return { pattern: turnedOutward(read, measures), inspection, measures, mending: [], findings };
  }
  const mended = await mendPattern(read, { signal: task.signal });
  const after = inspectPattern(mended.pattern);
  await pacer.step(0);
  const measured = await measurePatternInPieces(mended.pattern, { signal: task.signal });
  const low = measures.volumeMm3 - measures.volumeErrorMm3;
  const high = measures.volumeMm3 + measures.volumeErrorMm3;
  const off = Math.max(measured.volumeMm3 - low, high - measured.volumeMm3, measured.volumeErrorMm3);
  const steps = mended.steps.map((step): Finding => ({
    code: 'mended',
    severity: 'warning',
    message: `Mended: ${step.message}`,
    where: step.where,
  }));
  return {
    pattern: mended.pattern,
    inspection: after,
    measures: { ...measured, volumeErrorMm3: off },
    mending: mended.steps,
    findings: [...read.findings, ...steps, ...mended.findings, ...after.findings, ...measured.findings],
  };
}

/** Columns need outward faces; a scan that is inside out as a whole is turned, as its measures already were. */
function turnedOutward(pattern: Pattern, measures: Measures): Pattern {
  if (!measures.findings.some((finding) => finding.code === 'inside-out')) return pattern;
  const triangles = pattern.triangles.slice();
  for (let t = 0; t < triangles.length; t += 3) {
    const second = triangles[t + 1];
    triangles[t + 1] = triangles[t + 2];
    triangles[t + 2] = second;
  }
  return { ...pattern, triangles };
}
