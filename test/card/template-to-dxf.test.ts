import { renderTemplates, templateToDxf, type Template } from '@oddside/card';
import { toJson, type CastingJob } from 'oddside';
import { beforeAll, describe, expect, it } from 'vitest';
import { planBracket } from './sample-job.js';

interface Drawn {
  readonly kind: string;
  readonly layer: string;
  readonly closed: boolean;
  readonly points: [number, number][];
  readonly radius: number;
  readonly words: string;
}

/** Reads pairs of code and value, and from them what is drawn: DXF reference, release 12, group codes. */
function readDxf(text: string): { header: Map<string, string>; drawn: Drawn[] } {
  const lines = text.trimEnd().split('\r\n');
  expect(lines.length % 2).toBe(0);
  const pairs = lines.flatMap((code, i) => (i % 2 === 0 ? [[Number(code), lines[i + 1]] as const] : []));
  for (const [code] of pairs) expect(Number.isInteger(code)).toBe(true);
  expect(pairs.at(-1)).toEqual([0, 'EOF']);
  const header = new Map<string, string>();
  const drawn: Drawn[] = [];
  let entity: { kind: string; values: Map<number, string> } | undefined;
  let line: Drawn | undefined;
  const end = (): void => {
    if (!entity) return;
    const { kind, values } = entity;
    const place: [number, number] = [Number(values.get(10)), Number(values.get(20))];
    const made = {
      kind,
      layer: values.get(8) ?? '',
      closed: values.get(70) === '1',
      points: kind === 'POLYLINE' ? [] : [place],
      radius: Number(values.get(40) ?? 0),
      words: values.get(1) ?? '',
    };
    if (kind === 'VERTEX') line!.points.push(place);
    else if (kind === 'POLYLINE') drawn.push((line = made));
    else if (kind === 'CIRCLE' || kind === 'TEXT') drawn.push(made);
  };
  for (const [i, [code, value]] of pairs.entries()) {
    if (code === 9) header.set(value, pairs[i + 1][1]);
    if (code === 0) {
      end();
      entity = { kind: value, values: new Map() };
    } else entity?.values.set(code, value);
  }
  return { header, drawn };
}

const sideOf = ({ points }: Drawn, k: 0 | 1): number =>
  Math.max(...points.map((p) => p[k])) - Math.min(...points.map((p) => p[k]));

describe('a template as DXF', () => {
  let job: CastingJob;
  let templates: Map<string, Template>;
  beforeAll(async () => {
    job = await planBracket({ picturePx: 0 });
    templates = new Map(renderTemplates(toJson(job)).map((each) => [each.id, each]));
  });

  it('is in millimetres, plain ASCII, and every layer has a name of ours', () => {
    for (const template of templates.values()) {
      const text = templateToDxf(template);
      expect(text).toMatch(/^[\x20-\x7e\r\n]*$/);
      const { header, drawn } = readDxf(text);
      expect(header.get('$INSUNITS')).toBe('4');
      expect(header.get('$ACADVER')).toBe('AC1009');
      for (const { layer } of drawn) expect(layer).toMatch(/^[A-Z_]+$/);
      const square = drawn.find(({ layer }) => layer === 'SQUARE')!;
      expect(square.closed).toBe(true);
      for (const k of [0, 1] as const) expect(sideOf(square, k)).toBeCloseTo(50, 9);
    }
  });

  it('has the outline of the pattern, as long and as wide, the right way up', () => {
    const { drawn } = readDxf(templateToDxf(templates.get('outline')!));
    const outline = drawn.find(({ layer }) => layer === 'OUTLINE')!;
    const { points } = job.line.loops[0];
    const along = Array.from(points).filter((_, i) => i % 3 === 0);
    const across = Array.from(points).filter((_, i) => i % 3 === 1);
    expect(outline.closed).toBe(true);
    expect(sideOf(outline, 0)).toBeCloseTo(Math.max(...along) - Math.min(...along), 2);
    expect(Math.max(...outline.points.map(([, y]) => y))).toBeCloseTo(Math.max(...across), 2);
    expect(Math.min(...outline.points.map(([, y]) => y))).toBeCloseTo(Math.min(...across), 2);
    const stations = drawn.filter(({ layer }) => layer === 'STATION');
    expect(stations).toHaveLength(job.line.loops.reduce((sum, loop) => sum + loop.stations.length, 0));
    const { point } = job.line.loops[0].stations[0];
    expect(stations[0].points[0][0]).toBeCloseTo(point[0], 2);
    expect(stations[0].points[0][1]).toBeCloseTo(point[1], 2);
  });

  it('has the flask inside as the plan gives it, and wedges with their angles', () => {
    const { drawn } = readDxf(templateToDxf(templates.get('flask')!));
    const flask = drawn.find(({ layer }) => layer === 'FLASK')!;
    expect(sideOf(flask, 0)).toBeGreaterThanOrEqual(job.mould.sand.flaskLength - 0.01);
    const { sprue } = job.pour.plan.gating.parts;
    const round = drawn.find(({ layer }) => layer === 'SPRUE')!;
    expect(2 * round.radius).toBeCloseTo(sprue.exitDiameter, 2);
    const wedges = readDxf(templateToDxf(templates.get('wedges')!)).drawn;
    const leans = wedges
      .filter(({ layer }) => layer === 'WEDGE')
      .map(({ points }) => {
        const [, , foot, tip] = points;
        return (Math.atan((foot[0] - tip[0]) / (tip[1] - foot[1])) * 180) / Math.PI;
      });
    [0.5, 1, 2, 3, 5, 7].forEach((deg, i) => expect(leans[i]).toBeCloseTo(deg, 2));
    expect(wedges.some(({ words }) => words === '0.5\\U+00B0')).toBe(true);
  });

  it('refuses a sheet that is not ours', () => {
    const curved = { ...templates.get('wedges')!, sheet: '<svg><path d="M0 0C1 1 2 2 3 3" /></svg>' };
    expect(() => templateToDxf(curved)).toThrow(/sheets of renderTemplates/);
  });
});
