/** Different patterns in one flask: which of the founder's flasks takes them all, and where each lies. */
import { checkNumber, OddsideError, paceSteps, resolveOptions, startPacing, type Steps } from '@oddside/core';
import { checkFlasks, type FitFlaskOptions, fitFlask, type FlaskFit, type FlaskSize } from './fit-flask.js';
import {
  type FlaskShare,
  type LaidPattern,
  type PatternToLay,
  SHARE_FLASK_DEFAULTS,
  type SharedFlask,
  type ShareFlaskOptions,
  type UnsharedFlask,
} from './flask-share.js';
import type { Room } from './pack-outlines.js';
import { type Plan, planOf, type PlanPoint } from './plan-outline.js';
import { leftOut, type ShareJob, whyNever } from './refuse-flask.js';
import { type FoundPacking, layIn, layLoose, measured, readySearch, roomiest, within } from './search-packings.js';
import { turnOutline } from './turn-outlines.js';

/**
 * Lays different patterns, each with its own draw, joint height and copies, in one flask: their outlines (convex, so
 * that sand in a hollow side is not counted as room) keep the margin between each other, to the wall and to the sprue.
 * The joints share one plane, so the deepest pattern on each side sets the depth.
 *
 * @param flasks The founder's flasks, at least one.
 * @returns What fits. Deterministic. One pattern alone fits wherever {@link fitFlask} lays it. Cost: patterns² × corners²
 *   for every order tried; twenty patterns took one to five seconds in three flasks.
 * @throws OddsideError `bad-direction`, `bad-option`, `bad-number`.
 */
export async function shareFlask(
  parts: readonly PatternToLay[],
  flasks: readonly FlaskSize[],
  options?: Partial<ShareFlaskOptions>,
): Promise<FlaskShare> {
  const given = resolveOptions('shareFlask', SHARE_FLASK_DEFAULTS, options);
  for (const name of ['wallMargin', 'aboveMargin', 'belowMargin', 'betweenMargin', 'sprueRoom'] as const) {
    checkNumber(`${name} (mm)`, given[name], { min: 0 });
  }
  checkNumber('tries', given.tries, { min: 1, max: 1000, whole: true });
  if (!Array.isArray(parts) || parts.length === 0) {
    throw new OddsideError('bad-option', 'shareFlask expects a list of at least one { pattern, direction, joint }.');
  }
  checkFlasks('shareFlask', flasks);
  const pacer = startPacing(given);
  const job = readJob(parts, given);
  const result = await paceSteps(tryAll(job, flasks), pacer);
  pacer.finish();
  return result;
}

function readJob(parts: readonly PatternToLay[], given: ShareFlaskOptions): ShareJob {
  const plans = parts.map(({ pattern, direction, joint }, i) =>
    planOf(pattern, direction, checkNumber(`joint of part ${i} (mm)`, joint)),
  );
  const entries = parts.flatMap(({ copies = 1 }, part) => {
    checkNumber(`copies of part ${part}`, copies, { min: 1, max: 100, whole: true });
    return Array.from({ length: copies }, (_, k) => ({ part, copy: k + 1 }));
  });
  const most = (depth: (plan: Plan, joint: number) => number): number =>
    Math.max(...plans.map((plan, i) => depth(plan, parts[i]!.joint)));
  return {
    parts,
    plans,
    names: parts.map(({ name, pattern }, i) => name ?? (pattern.name || `part ${i + 1}`)),
    given,
    entries,
    cope: most((plan, joint) => plan.highest - joint) + given.aboveMargin,
    drag: most((plan, joint) => joint - plan.lowest) + given.belowMargin,
  };
}

/** Tries every flask, after some lay-outs in a room of no set length, from which the least size needed is read too. */
function* tryAll(job: ShareJob, flasks: readonly FlaskSize[]): Steps<FlaskShare> {
  const { given, entries, plans, parts } = job;
  const search = readySearch(
    plans.map((plan) => plan.outline),
    entries.map((entry) => entry.part),
    given.betweenMargin,
  );
  const alone =
    parts.length === 1
      ? fitFlask(parts[0]!.pattern, parts[0]!.direction, parts[0]!.joint, flasks, marginsOf(job))
      : undefined;
  const loose = yield* within(layLoose(search), 0, 0.3);
  const edge = 2 * given.wallMargin;
  const sizes = loose.map((packing) => ({
    length: packing.length + edge + given.sprueRoom,
    width: packing.width + edge,
  }));
  if (alone) sizes.push(alone.needed);
  const least = sizes.reduce((a, b) => (b.length * b.width < a.length * a.width ? b : a));
  const fits: SharedFlask[] = [];
  const misfits: UnsharedFlask[] = [];
  for (const [i, flask] of flasks.entries()) {
    const from = 0.3 + (0.7 * i) / flasks.length;
    const room = { length: flask.length - edge - given.sprueRoom, width: flask.width - edge };
    const never = whyNever(job, flask, room);
    if (never) {
      misfits.push({ flask, ...never });
      continue;
    }
    const row = alone?.fits.find((fit) => fit.flask === flask);
    const known = row ? inRows(job, row) : roomiest(loose, room);
    const packing = known ?? (yield* within(layIn(search, room, given.tries), from, from + 0.7 / flasks.length));
    if (packing.left.length === 0) fits.push(sharedFlask(job, flask, room, packing));
    else misfits.push(leftOut(job, flask, packing));
  }
  fits.sort((a, b) => a.volumeMm3 - b.volumeMm3);
  return {
    best: fits[0] ?? null,
    fits,
    misfits,
    needed: { length: least.length, width: least.width, copeDepth: job.cope, dragDepth: job.drag },
    along: plans.map((plan) => plan.u),
  };
}

const marginsOf = ({ given, entries }: ShareJob): FitFlaskOptions => ({
  wallMargin: given.wallMargin,
  aboveMargin: given.aboveMargin,
  belowMargin: given.belowMargin,
  betweenMargin: given.betweenMargin,
  sprueRoom: given.sprueRoom,
  copies: entries.length,
});

/** The rows of {@link fitFlask} as places. */
function inRows(job: ShareJob, row: FlaskFit): FoundPacking {
  const turned = turnOutline(job.plans[0]!.outline, row.turnDeg);
  const { betweenMargin } = job.given;
  const laid = job.entries.map((_, k) => ({
    piece: k,
    turned,
    x: (k % row.rows.along) * (turned.length + betweenMargin),
    y: Math.floor(k / row.rows.along) * (turned.width + betweenMargin),
  }));
  return measured({ laid, left: [] });
}

function sharedFlask(job: ShareJob, flask: FlaskSize, room: Room, packing: FoundPacking): SharedFlask {
  const { wallMargin } = job.given;
  const laid = packing.laid.map(({ piece, turned, x, y }): LaidPattern => {
    const { part, copy } = job.entries[piece]!;
    const shift: PlanPoint = [turned.shift[0] + x + wallMargin, turned.shift[1] + y + wallMargin];
    const whole = turnOutline(job.plans[part]!.outline, turned.turnDeg);
    const [dx, dy] = [shift[0] - whole.shift[0], shift[1] - whole.shift[1]];
    return {
      part,
      copy,
      turnDeg: turned.turnDeg,
      shift,
      outline: whole.points.map(([px, py]): PlanPoint => [px + dx, py + dy]),
    };
  });
  return {
    flask,
    laid: laid.sort((a, b) => a.part - b.part || a.copy - b.copy),
    spare: {
      length: room.length - packing.length,
      width: room.width - packing.width,
      cope: flask.copeDepth - job.cope,
      drag: flask.dragDepth - job.drag,
    },
    volumeMm3: flask.length * flask.width * (flask.copeDepth + flask.dragDepth),
  };
}
