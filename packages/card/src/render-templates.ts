/** Paper templates at 1:1, as SVG: what to lay on the board, the drag and the flask. */
import { checkNumber, OddsideError, resolveOptions } from '@oddside/core';
import { contourDrawing, flaskDrawing, outlineDrawing, wedgeDrawing } from './draw-templates.js';
import type { MouldCardJob } from './job.js';
import { tilePages, wholeSheet, type Drawing } from './tile-drawing.js';

/** What {@link renderTemplates} takes. */
export interface RenderTemplatesOptions {
  /** Paper of the pages. Default `a4`. */
  readonly paper: 'a4' | 'letter';
  /** Rim that the printer leaves empty, mm, 5–30. Default 10. */
  readonly margin: number;
  /** Strip that neighbouring pages share, mm, 5–40. Default 12. */
  readonly overlap: number;
}

/** Defaults of {@link renderTemplates}. */
export const RENDER_TEMPLATES_DEFAULTS: RenderTemplatesOptions = Object.freeze({
  paper: 'a4',
  margin: 10,
  overlap: 12,
});

/** One template. */
export interface Template {
  /** `outline`, `contours`, `flask` or `wedges`. */
  readonly id: string;
  readonly title: string;
  /** Size of the whole drawing, mm. */
  readonly width: number;
  readonly height: number;
  /** The whole drawing as one SVG at 1:1, for a plotter or a wide printer. */
  readonly sheet: string;
  /** The drawing on pages of the paper, one SVG each, row by row from the top left. */
  readonly pages: readonly string[];
}

const PAPERS: Readonly<Record<RenderTemplatesOptions['paper'], { width: number; height: number }>> = Object.freeze({
  a4: { width: 210, height: 297 },
  letter: { width: 215.9, height: 279.4 },
});

/**
 * Renders the templates of a job: the outline in the joint with stations and their heights, the contours of a shaped joint,
 * the flask with sprue, runner, gates and feeder, and draft wedges. All are seen from above, at pattern size (contraction
 * is in it), with a square of 50 mm to check the print by. Those that need a parting line or a joint surface are left out
 * where the job has none.
 *
 * @throws OddsideError `bad-option`, `bad-number`.
 */
export function renderTemplates(job: MouldCardJob, options?: Partial<RenderTemplatesOptions>): Template[] {
  const given = resolveOptions('renderTemplates', RENDER_TEMPLATES_DEFAULTS, options);
  const paper = Object.hasOwn(PAPERS, given.paper) ? PAPERS[given.paper] : undefined;
  if (!paper) {
    throw new OddsideError('bad-option', `paper must be a4 or letter, but "${String(given.paper)}" came.`);
  }
  const margin = checkNumber('margin (mm)', given.margin, { min: 5, max: 30 });
  const overlap = checkNumber('overlap (mm)', given.overlap, { min: 5, max: 40 });
  const make = (id: string, title: string, drawing: Drawing): Template => ({
    id,
    title,
    width: drawing.width,
    height: drawing.height,
    sheet: wholeSheet(drawing),
    pages: tilePages(drawing, `${job.pattern.name}, ${title}`, { ...paper, margin, overlap }),
  });
  const { line, surface, show } = job;
  const templates: Template[] = [];
  if (line && line.loops.length > 0)
    templates.push(make('outline', 'outline and stations', outlineDrawing(line, show)));
  if (line && surface && surface.contours.length > 0) {
    templates.push(make('contours', 'contours of the joint', contourDrawing(line, surface, show)));
  }
  templates.push(make('flask', 'flask', flaskDrawing(job)), make('wedges', 'draft wedges', wedgeDrawing()));
  return templates;
}
