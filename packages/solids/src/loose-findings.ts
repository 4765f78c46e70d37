/** What can be wrong with loose pieces, in words. */
import { formatVolume, type Finding } from '@oddside/core';
import type { SeatKind } from './cut-piece.js';
import { outOfFrame, type DrawFrame } from './draw-frame.js';
import type { Body } from './kernel.js';
import { centroidOf } from './list-places.js';

/** No piece for a place. */
export function noPiece(frame: DrawFrame, place: Body): Finding {
  return {
    code: 'no-loose-piece',
    severity: 'warning',
    message: `No loose piece frees the ${formatVolume(place.volume())} of sand trapped here: the metal that holds it has no room to slide, or holds sand on its other side too.`,
    where: outOfFrame(frame, ...centroidOf(place)),
    remedy: 'Make the place as a core, fill it, or lay the pattern another way.',
  };
}

/** Another seat than was asked for, or none. */
export function noSeat(
  n: number,
  wanted: SeatKind,
  piece: { readonly volumeMm3: number; readonly seat: SeatKind },
): Finding {
  return {
    code: 'no-seat',
    severity: 'warning',
    message: `Loose piece ${n + 1} (${formatVolume(piece.volumeMm3)}) bears no ${wanted} with the metal asked for round it${piece.seat === 'none' ? '' : `; it has a ${piece.seat} instead`}.`,
    remedy: 'Ask for a thinner wall, or hold the piece with wax or tape until the sand does.',
  };
}
