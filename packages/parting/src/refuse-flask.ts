/** Why patterns do not go in a flask together: proved where that is possible, in words. */
import { formatArea, formatLength } from '@oddside/core';
import type { FlaskSize } from './fit-flask.js';
import type { PatternToLay, ShareFlaskOptions, UnsharedFlask } from './flask-share.js';
import type { Packing, Room } from './pack-outlines.js';
import { leastWidth, paddedArea, type Plan } from './plan-outline.js';

/** Patterns made ready to be laid. */
export interface ShareJob {
  readonly parts: readonly PatternToLay[];
  readonly plans: readonly Plan[];
  readonly names: readonly string[];
  readonly given: ShareFlaskOptions;
  /** One entry a pattern laid: its part and which copy. */
  readonly entries: readonly { readonly part: number; readonly copy: number }[];
  readonly cope: number;
  readonly drag: number;
}

/** Why no arrangement can go in, where that is certain. */
export function whyNever(job: ShareJob, flask: FlaskSize, room: Room): Omit<UnsharedFlask, 'flask'> | undefined {
  const { cope, drag, plans, names, entries, given } = job;
  const say = (reason: string, left: readonly number[]): Omit<UnsharedFlask, 'flask'> => ({
    reason,
    proved: true,
    left,
  });
  if (flask.copeDepth < cope)
    return say(`The cope is ${formatLength(flask.copeDepth)} deep and must be ${formatLength(cope)}.`, []);
  if (flask.dragDepth < drag)
    return say(`The drag is ${formatLength(flask.dragDepth)} deep and must be ${formatLength(drag)}.`, []);
  const narrow = Math.max(0, Math.min(room.length, room.width));
  for (const [part, plan] of plans.entries()) {
    const least = leastWidth(plan.outline);
    if (least <= narrow + 1e-6) continue;
    const out = entries.filter((entry) => entry.part === part).map((entry) => entry.part);
    return say(
      `${names[part]} is ${formatLength(least)} across at its narrowest, and ${formatLength(narrow)} is left between the margins.`,
      out,
    );
  }
  // Half the sand between two belongs to each, so outlines and room are both grown by half of it.
  const half = given.betweenMargin / 2;
  const covered = entries.reduce((sum, { part }) => sum + paddedArea(plans[part]!.outline, half), 0);
  const there = (room.length + 2 * half) * (room.width + 2 * half);
  if (covered <= there * (1 + 1e-9)) return undefined;
  return say(
    `The patterns and the sand between them cover ${formatArea(covered)} of joint, and ${formatArea(there)} is there.`,
    [],
  );
}

/** The words for a flask that was not filled. */
export function leftOut({ names, entries, given }: ShareJob, flask: FlaskSize, packing: Packing): UnsharedFlask {
  const left = packing.left.map((piece) => entries[piece]!.part).sort((a, b) => a - b);
  const list = [...new Set(left)].map((part) => {
    const count = left.filter((other) => other === part).length;
    return count === 1 ? names[part]! : `${count} × ${names[part]!}`;
  });
  return {
    flask,
    reason: `In ${given.tries} tries at most ${packing.laid.length} of ${entries.length} patterns went in; left out: ${list.join(', ')}.`,
    proved: false,
    left,
  };
}
