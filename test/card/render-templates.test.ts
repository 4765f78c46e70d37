import { layOutMould, renderTemplates, type MouldCardJob, type Template } from '@oddside/card';
import { isOddsideError } from '@oddside/core';
import { beforeAll, describe, expect, it } from 'vitest';
import { planBracket } from './sample-job.js';

type Pair = [number, number];

/** The numbers of one attribute of the elements of a class, in the drawing's own millimetres. */
function pathsOf(svg: string, name: string): Pair[][] {
  const found = [...svg.matchAll(new RegExp(`class="${name}"\\s+d="([^"]*)"`, 'g'))].map(([, d]) => d);
  return found.map((d) =>
    [...d.matchAll(/[ML](-?[\d.]+) (-?[\d.]+)/g)].map(([, x, y]): Pair => [Number(x), Number(y)]),
  );
}
function attributes(svg: string, name: string): Record<string, number>[] {
  return [...svg.matchAll(new RegExp(`<(?:rect|circle)\\s+class="${name}"([^>]*)>`, 'g'))].map(([, rest]) =>
    Object.fromEntries(
      [...rest.matchAll(/(?<![\w-])(\w+)="(-?[\d.]+)"/g)].map(([, key, value]) => [key, Number(value)]),
    ),
  );
}
const boxOf = (points: Pair[]): { width: number; height: number } => ({
  width: Math.max(...points.map(([x]) => x)) - Math.min(...points.map(([x]) => x)),
  height: Math.max(...points.map(([, y]) => y)) - Math.min(...points.map(([, y]) => y)),
});

/** One user unit is one millimetre: the size in mm and the viewBox agree. */
function expectToScale(svg: string): void {
  const [, width, height, view] = /width="([\d.]+)mm"\s+height="([\d.]+)mm"\s+viewBox="([^"]*)"/.exec(svg)!;
  const [, , vw, vh] = view.split(' ').map(Number);
  expect(Number(width)).toBeCloseTo(vw, 3);
  expect(Number(height)).toBeCloseTo(vh, 3);
}

/** An oval 260 × 180 mm with a hole, as a parting line. */
const ring = (a: number, b: number): number[] =>
  Array.from({ length: 720 }, (_, i) => (i * Math.PI) / 360).flatMap((t) => [a * Math.cos(t), b * Math.sin(t), 3]);

describe('renderTemplates', () => {
  let job: MouldCardJob;
  let templates: Template[];
  const get = (id: string): Template => templates.find((each) => each.id === id)!;
  beforeAll(async () => {
    const planned = await planBracket({ picturePx: 0 });
    job = {
      ...planned,
      line: {
        rise: 4,
        fall: 2,
        loops: [
          {
            outer: true,
            points: ring(130, 90),
            stations: [{ point: [130, 0, 3], along: 0, aboveBoard: 21.5, fromJoint: 3 }],
          },
          { outer: false, points: ring(20, 20), stations: [] },
        ],
      },
      surface: {
        feasible: true,
        slopeLimitDeg: 30,
        copeDownMm3: 10,
        buildUpMm3: 0,
        volumeErrorMm3: 1,
        steepestDeg: 20,
        leastMargin: 30,
        contours: [{ height: -5, points: ring(140, 100), closed: true }],
      },
    };
    templates = renderTemplates(job);
  });

  it('makes every template to scale, with a square of 50 mm', () => {
    expect(templates.map(({ id }) => id)).toEqual(['outline', 'contours', 'flask', 'wedges']);
    for (const { sheet, pages } of templates) {
      for (const svg of [sheet, ...pages]) expectToScale(svg);
      expect(attributes(sheet, 'square')).toMatchObject([{ width: 50, height: 50 }]);
    }
  });

  it('draws the outline at its own size, and its stations where they are', () => {
    const [outer] = pathsOf(get('outline').sheet, 'outline');
    expect(boxOf(outer).width).toBeCloseTo(260, 2);
    expect(boxOf(outer).height).toBeCloseTo(180, 2);
    expect(boxOf(pathsOf(get('outline').sheet, 'outline hole')[0]).width).toBeCloseTo(40, 2);
    expect(attributes(get('outline').sheet, 'station')).toMatchObject([{ cx: 130, cy: 0 }]);
    expect(get('outline').sheet).toContain('>21.5<');
    expect(boxOf(pathsOf(get('contours').sheet, 'contour dig')[0]).width).toBeCloseTo(280, 2);
  });

  it('draws sprue, gates, feeder and flask as planned, clear of one another', () => {
    const { parts } = job.pour.plan.gating;
    const svg = get('flask').sheet;
    const layout = layOutMould(job);
    expect(2 * attributes(svg, 'sprue')[0]['r']).toBeCloseTo(parts.sprue.exitDiameter, 2);
    expect(2 * attributes(svg, 'sprue-top')[0]['r']).toBeCloseTo(parts.sprue.topDiameter, 2);
    expect(2 * attributes(svg, 'well')[0]['r']).toBeCloseTo(parts.well.diameter, 2);
    const gates = attributes(svg, 'gate');
    expect(gates).toHaveLength(parts.gates.count);
    for (const gate of gates) {
      expect(gate['width']).toBeCloseTo(parts.gates.width, 2);
      expect(gate['height']).toBeCloseTo(parts.gates.length, 2);
    }
    expect(attributes(svg, 'runner')[0]['height']).toBeCloseTo(parts.runner.side, 2);
    expect(2 * attributes(svg, 'feeder')[0]['r']).toBeCloseTo(job.pour.plan.feeder!.diameter, 2);
    const { margins } = job.mould.sand;
    const gap = layout.pattern.left - (layout.sprue.x + layout.sprue.diameter / 2);
    expect(gap).toBeGreaterThanOrEqual(margins.toSprue.value - 1e-9);
    for (const { x, y, diameter } of [layout.well, layout.sprueTop, layout.feeder!]) {
      expect(x - diameter / 2 - layout.flask.left).toBeGreaterThanOrEqual(margins.toWall.value - 1e-9);
      expect(layout.flask.right - x - diameter / 2).toBeGreaterThanOrEqual(margins.toWall.value - 1e-9);
      expect(y - diameter / 2 - layout.flask.front).toBeGreaterThanOrEqual(margins.toWall.value - 1e-9);
      expect(layout.flask.back - y - diameter / 2).toBeGreaterThanOrEqual(margins.toWall.value - 1e-9);
    }
  });

  it('draws wedges that lean as much as they say', () => {
    const wedges = [...get('wedges').sheet.matchAll(/M(-?[\d.]+) 0V80H(-?[\d.]+)L(-?[\d.]+) 0Z/g)];
    const labels = [...get('wedges').sheet.matchAll(/>([\d.]+)°</g)].map(([, deg]) => Number(deg));
    expect(wedges.length).toBe(labels.length);
    for (const [i, [, , foot, top]] of wedges.entries()) {
      const leanDeg = (Math.atan((Number(foot) - Number(top)) / 80) * 180) / Math.PI;
      expect(leanDeg).toBeCloseTo(labels[i], 2);
    }
  });

  it.each(['a4', 'letter'] as const)(
    'spreads what is larger than %s over pages that overlap and miss nothing',
    (paper) => {
      const { sheet, pages } = renderTemplates(job, { paper }).find(({ id }) => id === 'outline')!;
      expect(pages.length).toBeGreaterThan(1);
      const windows = pages.map((svg) => {
        const [, tx, ty] = /translate\((-?[\d.]+) (-?[\d.]+)\)/.exec(svg)!;
        const clip = /<clipPath[^>]*>\s*<rect x="([\d.]+)" y="([\d.]+)" width="([\d.]+)" height="([\d.]+)"/.exec(svg)!;
        const [x, y, width, height] = clip.slice(1).map(Number);
        return { left: x - Number(tx), top: y - Number(ty), width, height };
      });
      const points = pathsOf(sheet, 'outline')[0];
      const holding = points.map(
        ([px, py]) =>
          windows.filter((w) => px >= w.left && px <= w.left + w.width && py >= w.top && py <= w.top + w.height).length,
      );
      expect(Math.min(...holding)).toBeGreaterThan(0);
      expect(Math.max(...holding)).toBeGreaterThan(1);
      for (const svg of pages) expect(svg).toMatch(/class="bar-across"\s+d="M10 [\d.]+h100"/);
      // Neighbours share crosses: the first page's right-hand crosses are the second page's left-hand ones.
      const [a, b] = windows;
      expect(a.left + a.width - b.left).toBeCloseTo(12, 6);
    },
  );

  it('leaves out what the job does not hold', () => {
    expect(renderTemplates({ ...job, line: undefined }).map(({ id }) => id)).toEqual(['flask', 'wedges']);
  });

  it.each([{ paper: 'a3' }, { margin: 1 }, { overlap: NaN }, { papper: 'a4' }])('refuses %j', (options) => {
    const refused = (): string | undefined => {
      try {
        renderTemplates(job, options as object);
      } catch (error) {
        if (isOddsideError(error)) return error.code;
      }
      return undefined;
    };
    expect(refused()).toMatch(/^bad-/);
  });
});
