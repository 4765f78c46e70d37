/** A template as DXF, for cutters and drawing programs: release 12, plain text, which nearly everything reads. */
import { OddsideError } from '@oddside/core';
import type { Template } from './render-templates.js';

/** Where a pen goes: straight pieces through points, y upwards. */
interface Run {
  readonly points: [number, number][];
  closed: boolean;
}

/**
 * Writes the whole drawing of a template as DXF (drawing exchange format, release 12), in mm at 1:1: the lines of its SVG
 * sheet as polylines, circles and texts, y upwards. What a line is stands as its layer: OUTLINE, CONTOUR, STATION, SQUARE
 * and so on. Nothing is curved but circles, so nothing is lost.
 *
 * @param template One of `renderTemplates`.
 * @returns The text of a `.dxf` file, ASCII; signs outside ASCII are written as \U+ and four hex digits. Cost: a few ms.
 * @throws OddsideError `bad-option` for a sheet that `renderTemplates` did not make.
 */
export function templateToDxf(template: Template): string {
  const out: (string | number)[] = [0, 'SECTION', 2, 'HEADER', 9, '$ACADVER', 1, 'AC1009'];
  // Millimetres, and metric: readers that ask for neither take the numbers as they stand.
  out.push(9, '$INSUNITS', 70, 4, 9, '$MEASUREMENT', 70, 1, 0, 'ENDSEC', 0, 'SECTION', 2, 'ENTITIES');
  for (const [, tag, attributes, inside] of template.sheet.matchAll(
    /<(path|rect|circle|text)\b([^>]*?)\/?>(?:([^<]*)<\/text\s*>)?/g,
  )) {
    const get = (name: string): string => new RegExp(`(?:^|\\s)${name}="([^"]*)"`).exec(attributes)?.[1] ?? '';
    const size = (name: string): number => Number(get(name));
    const layer = tag === 'text' ? 'WORDS' : (get('class').split(' ')[0] || 'LINES').toUpperCase().replace(/-/g, '_');
    if (tag === 'circle') {
      out.push(0, 'CIRCLE', 8, layer, 10, size('cx'), 20, -size('cy'), 40, size('r'));
    } else if (tag === 'text') {
      const [x, y] = [size('x'), -size('y')];
      const middle = get('text-anchor') === 'middle';
      out.push(0, 'TEXT', 8, layer, 10, x, 20, y, 40, size('font-size'), 1, plainText(inside ?? ''));
      if (middle) out.push(72, 1, 11, x, 21, y);
    } else {
      const [x, y, w, h] = ['x', 'y', 'width', 'height'].map(size);
      const d = tag === 'rect' ? `M${x} ${y}h${w}v${h}h${-w}Z` : get('d');
      for (const run of runsOf(d)) pushRun(out, run, layer);
    }
  }
  out.push(0, 'ENDSEC', 0, 'EOF');
  const lines: string[] = [];
  for (let i = 0; i < out.length; i += 2) lines.push(String(out[i]).padStart(3), String(out[i + 1]));
  return `${lines.join('\r\n')}\r\n`;
}

function pushRun(out: (string | number)[], { points, closed }: Run, layer: string): void {
  out.push(0, 'POLYLINE', 8, layer, 66, 1, 10, 0, 20, 0, 30, 0, 70, closed ? 1 : 0);
  for (const [x, y] of points) out.push(0, 'VERTEX', 8, layer, 10, x, 20, y);
  out.push(0, 'SEQEND', 8, layer);
}

/** The straight pieces of a path as our drawings write them: M, L, H, V, h, v and Z. */
function runsOf(d: string): Run[] {
  const runs: Run[] = [];
  let [x, y] = [0, 0];
  for (const [, command, numbers] of d.matchAll(/([a-zA-Z])([^a-zA-Z]*)/g)) {
    const values =
      numbers.trim() === ''
        ? []
        : numbers
            .trim()
            .split(/[\s,]+/)
            .map(Number);
    const wanted = { M: 2, L: 2, H: 1, V: 1, h: 1, v: 1, Z: 0 }[command];
    if (wanted !== values.length || !values.every(Number.isFinite)) {
      throw new OddsideError(
        'bad-option',
        `templateToDxf takes sheets of renderTemplates; "${command}${numbers}" came.`,
      );
    }
    if (command === 'Z') {
      const last = runs.at(-1);
      if (last) {
        last.closed = true;
        [x, y] = [last.points[0][0], -last.points[0][1]];
      }
      continue;
    }
    if (command === 'M' || command === 'L') [x, y] = values as [number, number];
    else if (command === 'H') [x] = values;
    else if (command === 'V') [y] = values;
    else if (command === 'h') x += values[0];
    else y += values[0];
    const point: [number, number] = [tidy(x), tidy(-y)];
    const last = runs.at(-1);
    if (command === 'M' || !last) runs.push({ points: [point], closed: false });
    else last.points.push(point);
  }
  return runs.filter(({ points }) => points.length > 1);
}

/** Micrometres are kept; −0 is 0. */
const tidy = (value: number): number => Math.round(value * 1000) / 1000 + 0;

const plainText = (text: string): string =>
  text
    .replace(/&lt;/g, '<')
    .replace(/&gt;/g, '>')
    .replace(/&quot;/g, '"')
    .replace(/&#39;/g, "'")
    .replace(/&amp;/g, '&')
    .replace(/\s+/g, ' ')
    .replace(/[^\x20-\x7e]/g, (sign) => `\\U+${sign.charCodeAt(0).toString(16).padStart(4, '0').toUpperCase()}`);
