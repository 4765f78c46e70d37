/** A drawing larger than the paper, cut into pages at 1:1 that overlap and can be laid together by their marks. */
import { html, type Markup } from './html.js';
import { mm } from './svg-path.js';

/** A drawing at 1:1, mm; x to the right, y downwards, as in SVG. */
export interface Drawing {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
  readonly content: Markup;
}

/** Paper and the part of it that a printer reaches, mm. */
export interface Paper {
  readonly width: number;
  readonly height: number;
  readonly margin: number;
  /** Strip that neighbouring pages share. */
  readonly overlap: number;
}

/** Room at the foot of a page for its name and its bar, mm. */
const FOOT = 12;
const BAR = 100;

const svgOf = (width: number, height: number, viewBox: readonly number[], inner: Markup): string =>
  html`<svg
    xmlns="http://www.w3.org/2000/svg"
    width="${mm(width)}mm"
    height="${mm(height)}mm"
    viewBox="${viewBox.map(mm).join(' ')}"
    font-family="sans-serif"
  >
    ${inner}
  </svg>`.html;

/** The whole drawing as one sheet, for a plotter. */
export function wholeSheet({ left, top, width, height, content }: Drawing): string {
  return svgOf(width, height, [left, top, width, height], content);
}

/** The drawing on pages, row by row. Each page shows where it belongs and carries a bar of 100 mm across and down. */
export function tilePages(drawing: Drawing, title: string, paper: Paper): string[] {
  const { margin, overlap } = paper;
  const wide = paper.width - 2 * margin;
  const high = paper.height - 2 * margin - FOOT;
  const columns = Math.max(1, Math.ceil((drawing.width - overlap) / (wide - overlap)));
  const rows = Math.max(1, Math.ceil((drawing.height - overlap) / (high - overlap)));
  const pages: string[] = [];
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      const from = { x: drawing.left + column * (wide - overlap), y: drawing.top + row * (high - overlap) };
      const id = `page-${row}-${column}`;
      const inner = html`<defs>
          <clipPath id="${id}">
            <rect x="${mm(margin)}" y="${mm(margin)}" width="${mm(wide)}" height="${mm(high)}" />
          </clipPath>
        </defs>
        <g clip-path="url(#${id})">
          <g class="drawing" transform="translate(${mm(margin - from.x)} ${mm(margin - from.y)})">
            ${drawing.content} ${marks(drawing, rows, columns, wide - overlap, high - overlap, overlap)}
          </g>
        </g>
        ${foot(title, row, column, rows, columns, paper)}`;
      pages.push(svgOf(paper.width, paper.height, [0, 0, paper.width, paper.height], inner));
    }
  }
  return pages;
}

/** A cross in the middle of each corner that four pages share, the same on all of them. */
function marks(
  drawing: Drawing,
  rows: number,
  columns: number,
  stepX: number,
  stepY: number,
  overlap: number,
): Markup[] {
  const made: Markup[] = [];
  for (let row = 0; row <= rows; row++) {
    for (let column = 0; column <= columns; column++) {
      const x = drawing.left + column * stepX + overlap / 2;
      const y = drawing.top + row * stepY + overlap / 2;
      made.push(
        html`<path
          class="mark"
          d="M${mm(x - 4)} ${mm(y)}h8M${mm(x)} ${mm(y - 4)}v8"
          stroke="#16181d"
          stroke-width="0.15"
        />`,
      );
    }
  }
  return made;
}

function foot(title: string, row: number, column: number, rows: number, columns: number, paper: Paper): Markup {
  const { width, height, margin } = paper;
  const base = height - margin;
  const place =
    rows * columns === 1
      ? 'one page'
      : `row ${row + 1} of ${rows}, column ${column + 1} of ${columns}; lay the crosses together`;
  const up = height / 2 - BAR / 2;
  return html`<text x="${mm(margin)}" y="${mm(base - 6.5)}" font-size="3.6">${title}: ${place}. Print at 100 %.</text>
    <path class="bar-across" d="M${mm(margin)} ${mm(base - 3)}h${BAR}" stroke="#16181d" stroke-width="0.3" />
    <path
      class="bar-ends"
      d="M${mm(margin)} ${mm(base - 5)}v4M${mm(margin + BAR)} ${mm(base - 5)}v4"
      stroke="#16181d"
      stroke-width="0.3"
    />
    <text x="${mm(margin + BAR + 3)}" y="${mm(base - 2)}" font-size="3.2"
      >must measure ${BAR} mm, as must the bar at the right</text
    >
    <path
      class="bar-down"
      d="M${mm(width - margin / 2)} ${mm(up)}v${BAR}M${mm(width - margin / 2 - 1.5)} ${mm(up)}h3M${mm(width - margin / 2 - 1.5)} ${mm(up + BAR)}h3"
      stroke="#16181d"
      stroke-width="0.3"
    />`;
}
