/** The drawings of the templates at 1:1: outline with stations, contours, flask, wedges. */
import { formatLength, plainNumber, radians, type UnitSystem } from '@oddside/core';
import { html, NO_MARKUP, type Markup } from './html.js';
import type { JobLine, JobSurface, MouldCardJob } from './job.js';
import { layOutMould, type PlanBox, type PlanRound } from './lay-out-mould.js';
import { mm, pathOf } from './svg-path.js';
import type { Drawing } from './tile-drawing.js';

/** Side of the square that shows whether the print is to scale, mm. */
export const SQUARE = 50;
const INK = '#16181d';
/** Empty rim round a drawing, and the size of its text, mm. */
const RIM = 8;
const TEXT = 3.6;
/** Points nearer than this are left out: a pencil is wider. */
const PENCIL = 0.1;

interface Reach {
  left: number;
  right: number;
  top: number;
  bottom: number;
}

/** Puts a rim round what was drawn, and the square with its note below. */
function frame(reach: Reach, content: Markup, note: string): Drawing {
  const y = reach.bottom + RIM;
  const width = Math.max(reach.right - reach.left, SQUARE + 60) + 2 * RIM;
  const square = html`<rect
      class="square"
      x="${mm(reach.left)}"
      y="${mm(y)}"
      width="${SQUARE}"
      height="${SQUARE}"
      fill="none"
      stroke="${INK}"
      stroke-width="0.3"
    /><text x="${mm(reach.left + 2)}" y="${mm(y + TEXT + 1.5)}" font-size="${TEXT}">${SQUARE} mm each way</text>
    ${note.split('\n').map((line, i) => text(reach.left + SQUARE + 4, y + (i + 1) * TEXT * 1.4, line))}`;
  return {
    left: reach.left - RIM,
    top: reach.top - RIM,
    width,
    height: y + SQUARE + RIM - (reach.top - RIM),
    content: html`${content}${square}`,
  };
}

const text = (x: number, y: number, words: string, anchor = 'start'): Markup =>
  html`<text x="${mm(x)}" y="${mm(y)}" font-size="${TEXT}" text-anchor="${anchor}" fill="${INK}">${words}</text>`;

const stroke = (d: string, name: string, width = 0.35, dash = 'none'): Markup =>
  html`<path
    class="${name}"
    d="${d}"
    fill="none"
    stroke="${INK}"
    stroke-width="${width}"
    stroke-dasharray="${dash}"
    stroke-linejoin="round"
  />`;

function reachOf(lists: readonly ArrayLike<number>[]): Reach {
  const reach = { left: Infinity, right: -Infinity, top: Infinity, bottom: -Infinity };
  for (const points of lists) {
    for (let i = 0; i + 2 < points.length; i += 3) {
      reach.left = Math.min(reach.left, points[i]);
      reach.right = Math.max(reach.right, points[i]);
      reach.top = Math.min(reach.top, -points[i + 1]);
      reach.bottom = Math.max(reach.bottom, -points[i + 1]);
    }
  }
  return reach;
}

const outlines = (line: JobLine): Markup[] =>
  line.loops.map(({ points, outer }) => stroke(pathOf(points, true, 1, PENCIL), outer ? 'outline' : 'outline hole'));

/** The pattern's outline in the joint, with the marks to make and their heights over a board. */
export function outlineDrawing(line: JobLine, show: UnitSystem): Drawing {
  const stations = line.loops.flatMap((loop) =>
    loop.stations.map(({ point, aboveBoard }) => {
      const [x, y] = [point[0], -point[1]];
      return html`<circle
          class="station"
          cx="${mm(x)}"
          cy="${mm(y)}"
          r="0.8"
          fill="${INK}"
        />${text(x + 1.4, y - 1, plainNumber(show === 'imperial' ? aboveBoard / 25.4 : aboveBoard))}`;
    }),
  );
  const reach = reachOf(line.loops.map(({ points }) => points));
  const unit = show === 'imperial' ? 'in' : 'mm';
  return frame(
    reach,
    html`${outlines(line)}${stations}`,
    `Outline of the pattern in the joint, from above.\nNumbers: height of the parting line over a board\nthat the pattern stands on, ${unit}.`,
  );
}

/** Where to dig the drag down and where to build it up. */
export function contourDrawing(line: JobLine, surface: JobSurface, show: UnitSystem): Drawing {
  const lines = surface.contours.map(({ height, points, closed }) => {
    const dig = height < -1e-9;
    const i = Math.floor(points.length / 6) * 3;
    const value = plainNumber(show === 'imperial' ? height / 25.4 : height, 2).replace('-', '−');
    return html`${stroke(pathOf(points, closed, 1, PENCIL), `contour ${dig ? 'dig' : 'build'}`, 0.25, dig ? '2 1.2' : 'none')}${points.length < 24 ? NO_MARKUP : text(points[i], -points[i + 1], value, 'middle')}`;
  });
  const reach = reachOf([...line.loops, ...surface.contours].map(({ points }) => points));
  const unit = show === 'imperial' ? 'in' : 'mm';
  return frame(
    reach,
    html`${lines}${outlines(line)}`,
    `The joint from above, ${unit} from flat.\nDashed: dig the drag down. Full: build it up.`,
  );
}

/** The flask from above with everything that is cut in the joint. */
export function flaskDrawing(job: MouldCardJob): Drawing {
  const layout = layOutMould(job);
  const { show } = job;
  const box = ({ left, right, front, back }: PlanBox, name: string, width = 0.35): Markup =>
    html`<rect
      class="${name}"
      x="${mm(left)}"
      y="${mm(-back)}"
      width="${mm(right - left)}"
      height="${mm(back - front)}"
      fill="none"
      stroke="${INK}"
      stroke-width="${width}"
    />`;
  const round = ({ x, y, diameter }: PlanRound, name: string, words: string): Markup =>
    html`<circle
        class="${name}"
        cx="${mm(x)}"
        cy="${mm(-y)}"
        r="${mm(diameter / 2)}"
        fill="none"
        stroke="${INK}"
        stroke-width="0.35"
      />${words === '' ? NO_MARKUP : text(x, -y - diameter / 2 - 1.2, words, 'middle')}`;
  const { flask, feeder, neck } = layout;
  const content = html`${box(flask, 'flask', 0.7)}${job.line ? outlines(job.line) : box(layout.pattern, 'pattern-box')}${box(layout.runner, 'runner')}${layout.gates.map((gate) => box(gate, 'gate'))}${round(layout.sprue, 'sprue', '')}${round(layout.sprueTop, 'sprue-top', '')}${round(layout.well, 'well', 'sprue and well')}${feeder ? round(feeder, 'feeder', 'feeder') : NO_MARKUP}${neck ? box(neck, 'neck') : NO_MARKUP}`;
  const reach = { left: flask.left, right: flask.right, top: -flask.back, bottom: -flask.front };
  const longer =
    layout.runnerLength > layout.countedRunner * 1.02
      ? `\nThe runner is ${formatLength(layout.runnerLength, show)} here; the metal was counted for ${formatLength(layout.countedRunner, show)}.`
      : '';
  return frame(
    reach,
    content,
    `Flask from above, inside ${formatLength(flask.right - flask.left, show)} × ${formatLength(flask.back - flask.front, show)}.\nOne arrangement that fits. Run each gate on to the pattern;\nthe feeder belongs at the heaviest section.${longer}`,
  );
}

/** Angles of the wedges, degrees. */
const WEDGES: readonly number[] = Object.freeze([0.5, 1, 2, 3, 5, 7]);
const WEDGE_HEIGHT = 80;

/** Wedges to hold against a wall: the leaning side shows the draft. */
export function wedgeDrawing(): Drawing {
  const wedges = WEDGES.map((deg, i) => {
    const x = i * 26;
    const lean = WEDGE_HEIGHT * Math.tan(radians(deg));
    return html`${stroke(`M${mm(x)} 0V${WEDGE_HEIGHT}H${mm(x + 12 + lean)}L${mm(x + 12)} 0Z`, 'wedge')}${text(x + 2, WEDGE_HEIGHT - 3, `${plainNumber(deg)}°`)}`;
  });
  const last = (WEDGES.length - 1) * 26 + 12 + WEDGE_HEIGHT * Math.tan(radians(WEDGES[WEDGES.length - 1]));
  return frame(
    { left: 0, right: last, top: 0, bottom: WEDGE_HEIGHT },
    html`${wedges}`,
    'Draft wedges: glue to card and cut out.\nStand the foot on the board; the leaning side\nagainst the wall shows whether it has the draft.',
  );
}
