/**
 * The withdrawal proof of loose pieces: one after the other each slides sideways into the room that the pattern left and
 * is then drawn. Both ways are swept as exact solids; what of them lies in sand, or in a piece still in its place, is told.
 */
import { formatVolume, type Finding, type Vec3 } from '@oddside/core';
import { outOfFrame, type DrawFrame } from './draw-frame.js';
import type { Body } from './kernel.js';
import { listPlaces } from './list-places.js';
import type { Scope } from './own-bodies.js';
import { DOWN, UP, sweepBody } from './sweep-body.js';

/** What taking one loose piece out of the sand tears. */
export interface SlideProof {
  /** Sand that it scrapes while it slides, and that it tears while it is drawn, mm³. */
  readonly scrapedMm3: number;
  readonly tornMm3: number;
  /** How far each can be off for rounding, mm³. */
  readonly errorMm3: number;
  /** Where most is scraped or torn, in the pattern's coordinates; `null` where nothing is. */
  readonly where: Vec3 | null;
  /** True where nothing is scraped or torn beyond the error. */
  readonly draws: boolean;
}

/** A piece on its way, in the frame. */
export interface SlidingPiece {
  readonly body: Body;
  /** Unit vector across the draw, in the frame, and how far, mm. */
  readonly way: Vec3;
  readonly distance: number;
}

/**
 * Proves one piece's way.
 *
 * @param room Everything that is not sand once the rest was drawn; it must reach as far up (or down) as `travel`.
 * @param inPlace Pieces that are drawn later.
 * @param travel How far the piece is then drawn, mm: upward out of the drag, or where it is below 0 downward out of the
 * cope, which is turned over for that.
 */
export function proveSlide(
  scope: Scope,
  frame: DrawFrame,
  { body, way, distance }: SlidingPiece,
  room: Body,
  inPlace: readonly Body[],
  travel: number,
): SlideProof {
  const errorMm3 = errorOf(body, distance);
  const slid = sweepBody(scope, body, way, distance);
  const moved = scope.move(body, [way[0] * distance, way[1] * distance, 0]);
  const drawn = sweepBody(scope, moved, travel > 0 ? UP : DOWN, Math.abs(travel));
  const free = inPlace.reduce((left, other) => scope.cut(left, other), room);
  const [scraped, torn] = [scope.cut(slid, free), scope.cut(drawn, free)];
  const [scrapedMm3, tornMm3] = [scraped.volume(), torn.volume()];
  const draws = scrapedMm3 <= errorMm3 && tornMm3 <= errorMm3;
  const worst = draws ? null : listPlaces(scope, frame, scrapedMm3 > tornMm3 ? scraped : torn, 1)[0];
  const made = [slid, moved, drawn, scraped, torn, ...(free === room ? [] : [free])];
  for (const each of made) scope.free(each);
  return { scrapedMm3, tornMm3, errorMm3, where: worst?.where ?? null, draws };
}

/** The rounding of 32-bit coordinates over the surface of what is swept, as for a pattern's own draw. */
function errorOf(body: Body, distance: number): number {
  const { min, max } = body.boundingBox();
  const size = Math.max(...[0, 1, 2].map((k) => Math.max(Math.abs(min[k]), Math.abs(max[k])))) + distance;
  const around = 2 * distance * (max[0] - min[0] + max[1] - min[1] + max[2] - min[2]);
  return 16 * size * 2 ** -24 * (2 * body.surfaceArea() + around);
}

/** In words, where a piece does not come out clean. */
export function scrapingPiece(name: string, { scrapedMm3, tornMm3, errorMm3, where }: SlideProof): Finding {
  return {
    code: 'piece-scrapes',
    severity: 'warning',
    message: `${name} scrapes ${formatVolume(scrapedMm3)} of sand while it slides and tears ${formatVolume(tornMm3)} while it is drawn (± ${formatVolume(errorMm3)}).`,
    ...(where ? { where } : {}),
    remedy: 'Ease its sides where it rubs, or make the place as a core.',
  };
}

/** A way in the frame as a direction of the file. */
export function wayInFile(frame: DrawFrame, way: Vec3): Vec3 {
  const [at, zero] = [outOfFrame(frame, way[0], way[1], way[2]), outOfFrame(frame, 0, 0, 0)];
  return [at[0] - zero[0], at[1] - zero[1], at[2] - zero[2]];
}
