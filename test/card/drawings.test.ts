import { layOutMould, renderMouldCard, type MouldCardJob } from '@oddside/card';
import { formatLength } from '@oddside/core';
import { beforeAll, describe, expect, it } from 'vitest';
import { jointFigure } from '../../packages/card/src/draw-joint.js';
import { sectionFigure } from '../../packages/card/src/draw-section.js';
import { mm, pathOf } from '../../packages/card/src/svg-path.js';
import { planBracket } from './sample-job.js';

const square = (half: number, z: number): number[] => [half, half, z, -half, half, z, -half, -half, z, half, -half, z];

describe('pathOf', () => {
  it('turns up into down, rounds to micrometres and closes what is closed', () => {
    expect(pathOf([1, 2, 3, 4.00049, -5, 6], false, 1)).toBe('M1 -2L4 5');
    expect(pathOf([1, 2, 3, 4, 5, 6], true, 2)).toBe('M1 -3L4 -6Z');
    expect(pathOf([], true, 1)).toBe('');
    expect(mm(-0.0001)).toBe('0');
  });
  it('leaves out points nearer than asked, but never the end of an open line', () => {
    const crowd = Array.from({ length: 100 }, (_, i) => [i / 100, 0, 0]).flat();
    expect(pathOf(crowd, false, 1, 0.5)).toBe('M0 0L0.5 0L0.99 0');
  });
});

describe('the joint from above', () => {
  const line = { rise: 1, fall: 1, loops: [{ outer: true, points: square(20, 0), stations: [] }] };
  const surface = {
    feasible: true,
    slopeLimitDeg: 30,
    copeDownMm3: 1,
    buildUpMm3: 1,
    volumeErrorMm3: 1,
    steepestDeg: 10,
    leastMargin: 10,
    contours: [
      { height: -7.5, points: square(25, -7.5), closed: true },
      { height: 0, points: square(40, 0), closed: true },
      { height: 2.5, points: square(30, 2.5), closed: true },
    ],
  };

  it('dashes what is dug, draws full what is built, and labels both', () => {
    const { html } = jointFigure(line, surface, 'metric');
    const dash = (half: number): string =>
      new RegExp(`d="M${half} -${half}[^"]*"[^>]*stroke-dasharray="([^"]*)"`).exec(html)![1];
    expect(dash(25)).not.toBe('none');
    expect(dash(30)).toBe('none');
    expect(html).toMatch(/>−7.5<\/text/);
    expect(html).toMatch(/>2.5<\/text/);
    expect(html).not.toMatch(/>0<\/text/);
    expect(html).toContain(`${formatLength(7.5)} down`);
  });
  it('says so where the joint is flat, and draws nothing without a line', () => {
    expect(jointFigure(line, { ...surface, contours: [] }, 'metric').html).toContain('flat all round');
    expect(jointFigure({ ...line, loops: [] }, { ...surface, contours: [] }, 'metric').html).toBe('');
  });
});

describe('the section', () => {
  let job: MouldCardJob;
  beforeAll(async () => {
    job = await planBracket({ picturePx: 0 });
  });

  it('shows the depths of flask and pattern, and the sizes of sprue and feeder', () => {
    const { html } = sectionFigure(job);
    const { parts } = job.pour.plan.gating;
    for (const length of [job.mould.sand.copeHeight, job.mould.sand.dragHeight, job.mould.copeDepth]) {
      expect(html).toContain(`>${formatLength(length)}</text`);
    }
    expect(html).toContain(`choke ⌀ ${formatLength(parts.sprue.exitDiameter, 'metric', 2)}`);
    expect(html).toContain('feeder ⌀');
    const flask = layOutMould(job).flask;
    expect(html).toContain(`${formatLength(flask.right - flask.left)} inside`);
  });

  it('draws no feeder where none is needed', () => {
    const plan = { ...job.pour.plan, feeder: undefined };
    const without = { ...job, pour: { ...job.pour, plan } };
    expect(layOutMould(without).feeder).toBeUndefined();
    expect(sectionFigure(without).html).not.toContain('feeder ⌀');
    expect(renderMouldCard(without)).toContain('none needed by the rules used');
  });
});
