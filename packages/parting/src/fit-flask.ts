/** Which of the founder's flasks a pattern goes in, turned how, and how many at once. */
import { OddsideError, checkNumber, formatLength, resolveOptions, type Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import { type Plan, planOf } from './plan-outline.js';

/** Inside sizes of a flask, mm. */
export interface FlaskSize {
  /** What the founder calls it. */
  readonly name: string;
  readonly length: number;
  readonly width: number;
  readonly copeDepth: number;
  readonly dragDepth: number;
}

/** What {@link fitFlask} takes. Sand margins are common practice, no source. */
export interface FitFlaskOptions {
  /** Sand between pattern and flask wall, mm. Default 40. */
  readonly wallMargin: number;
  /** Sand over the pattern in the cope, mm. Default 40. */
  readonly aboveMargin: number;
  /** Sand under the pattern in the drag, mm. Default 30. */
  readonly belowMargin: number;
  /** Sand between two patterns, mm. Default 30. */
  readonly betweenMargin: number;
  /** Length kept free along the flask for sprue and riser, mm. Default 50. */
  readonly sprueRoom: number;
  /** Patterns to lie in one flask, 1–100. Default 1. */
  readonly copies: number;
}

/** Defaults of {@link fitFlask}. */
export const FIT_FLASK_DEFAULTS: FitFlaskOptions = Object.freeze({
  wallMargin: 40,
  aboveMargin: 40,
  belowMargin: 30,
  betweenMargin: 30,
  sprueRoom: 50,
  copies: 1,
});

/** How patterns lie in a flask. */
export interface FlaskFit {
  readonly flask: FlaskSize;
  /** Turn of the pattern in plan that lays it along the flask, degrees 0–180, from {@link FlaskFits.along}. */
  readonly turnDeg: number;
  /** Patterns along and across the flask. */
  readonly rows: { readonly along: number; readonly across: number };
  /** Room left over along and across, above and below, after all margins, mm. */
  readonly spare: { readonly length: number; readonly width: number; readonly cope: number; readonly drag: number };
  /** Volume of sand and patterns in it, mm³: what flasks are compared by. */
  readonly volumeMm3: number;
}

/** What fits. */
export interface FlaskFits {
  /** The smallest flask by volume, or `null` where none will do. */
  readonly best: FlaskFit | null;
  /** All that fit, smallest first. */
  readonly fits: readonly FlaskFit[];
  /** Why each of the others does not, in words. */
  readonly misfits: readonly { readonly flask: FlaskSize; readonly reason: string }[];
  /** Inside size of the smallest flask that would do, mm, least plan area. */
  readonly needed: {
    readonly length: number;
    readonly width: number;
    readonly copeDepth: number;
    readonly dragDepth: number;
  };
  /** Direction in the joint from which turns are counted, unit vector; turns go round the draw, right-handed. */
  readonly along: Vec3;
}

/**
 * Fits a pattern into flasks.
 *
 * @param joint Height of the joint, mm along the draw from the file's origin, such as `assessment.flat.height`.
 * @param flasks The founder's flasks, at least one.
 * @returns What fits. Deterministic. Cost: one pass over the corners.
 * @throws OddsideError `bad-direction`, `bad-option`, `bad-number`.
 */
export function fitFlask(
  pattern: Pattern,
  direction: Vec3,
  joint: number,
  flasks: readonly FlaskSize[],
  options?: Partial<FitFlaskOptions>,
): FlaskFits {
  const chosen = resolveOptions('fitFlask', FIT_FLASK_DEFAULTS, options);
  for (const name of ['wallMargin', 'aboveMargin', 'belowMargin', 'betweenMargin', 'sprueRoom'] as const) {
    checkNumber(`${name} (mm)`, chosen[name], { min: 0 });
  }
  checkNumber('copies', chosen.copies, { min: 1, max: 100, whole: true });
  checkNumber('joint (mm)', joint);
  checkFlasks('fitFlask', flasks);
  const plan = planOf(pattern, direction, joint);
  const layouts = layoutsOf(plan, chosen);
  const cope = Math.max(0, plan.highest - joint) + chosen.aboveMargin;
  const drag = Math.max(0, joint - plan.lowest) + chosen.belowMargin;
  const fits: FlaskFit[] = [];
  const misfits: { flask: FlaskSize; reason: string }[] = [];
  for (const flask of flasks) {
    const fit = fitOne(flask, layouts, cope, drag);
    if (typeof fit === 'string') misfits.push({ flask, reason: fit });
    else fits.push(fit);
  }
  fits.sort((a, b) => a.volumeMm3 - b.volumeMm3);
  const least = layouts.reduce((a, b) => (b.length * b.width < a.length * a.width ? b : a));
  return {
    best: fits[0] ?? null,
    fits,
    misfits,
    needed: { length: least.length, width: least.width, copeDepth: cope, dragDepth: drag },
    along: plan.u,
  };
}

/** Checks a list of flasks. */
export function checkFlasks(caller: string, flasks: readonly FlaskSize[]): void {
  if (!Array.isArray(flasks) || flasks.length === 0) {
    throw new OddsideError('bad-option', `${caller} expects a list of at least one flask with its inside sizes in mm.`);
  }
  for (const flask of flasks) {
    for (const name of ['length', 'width', 'copeDepth', 'dragDepth'] as const) {
      checkNumber(`${name} of flask "${flask.name}" (mm)`, flask[name], { min: 0, above: true });
    }
  }
}

interface Layout {
  readonly turnDeg: number;
  readonly along: number;
  readonly across: number;
  /** Inside size of flask it needs, mm. */
  readonly length: number;
  readonly width: number;
}

/** Every turn worth trying with every way to set the copies in rows. The tightest box lies along an edge of the outline. */
function layoutsOf(plan: Plan, options: FitFlaskOptions): Layout[] {
  const turns = new Set<number>(Array.from({ length: 180 }, (_, deg) => deg));
  plan.outline.forEach(([x, y], i) => {
    const [nx, ny] = plan.outline[(i + 1) % plan.outline.length];
    const deg = (Math.atan2(ny - y, nx - x) * 180) / Math.PI;
    // The pattern is turned back by the edge's own angle, along or across.
    for (const turn of [-deg, 90 - deg]) turns.add(((turn % 180) + 180) % 180);
  });
  const layouts: Layout[] = [];
  for (const turnDeg of [...turns].sort((a, b) => a - b)) {
    const [c, s] = [Math.cos((turnDeg * Math.PI) / 180), Math.sin((turnDeg * Math.PI) / 180)];
    const xs = plan.outline.map(([x, y]) => c * x - s * y);
    const ys = plan.outline.map(([x, y]) => s * x + c * y);
    const extent = (list: readonly number[]): number =>
      list.reduce((m, x) => Math.max(m, x), -Infinity) - list.reduce((m, x) => Math.min(m, x), Infinity);
    const [box, deep] = [extent(xs), extent(ys)];
    for (let along = 1; along <= options.copies; along++) {
      const across = Math.ceil(options.copies / along);
      if ((along - 1) * across >= options.copies) continue;
      layouts.push({
        turnDeg,
        along,
        across,
        length: along * box + (along - 1) * options.betweenMargin + 2 * options.wallMargin + options.sprueRoom,
        width: across * deep + (across - 1) * options.betweenMargin + 2 * options.wallMargin,
      });
    }
  }
  return layouts;
}

/** The layout that leaves most room at its tightest, or why there is none. */
function fitOne(flask: FlaskSize, layouts: readonly Layout[], cope: number, drag: number): FlaskFit | string {
  if (flask.copeDepth < cope)
    return `The cope is ${formatLength(flask.copeDepth)} deep and must be ${formatLength(cope)}.`;
  if (flask.dragDepth < drag)
    return `The drag is ${formatLength(flask.dragDepth)} deep and must be ${formatLength(drag)}.`;
  let best: Layout | null = null;
  const room = (layout: Layout): number => Math.min(flask.length - layout.length, flask.width - layout.width);
  for (const layout of layouts) if (!best || room(layout) > room(best) + 1e-9) best = layout;
  if (!best || room(best) < -1e-9) {
    return `The pattern with its sand and sprue room needs ${formatLength(best?.length ?? 0)} × ${formatLength(best?.width ?? 0)} in plan; the flask has ${formatLength(flask.length)} × ${formatLength(flask.width)}.`;
  }
  return {
    flask,
    turnDeg: best.turnDeg,
    rows: { along: best.along, across: best.across },
    spare: {
      length: flask.length - best.length,
      width: flask.width - best.width,
      cope: flask.copeDepth - cope,
      drag: flask.dragDepth - drag,
    },
    volumeMm3: flask.length * flask.width * (flask.copeDepth + flask.dragDepth),
  };
}
