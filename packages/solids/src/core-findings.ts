/** What can be wrong with cores, in words. */
import { formatVolume, plainNumber, type Finding, type Vec3 } from '@oddside/core';
import type { Mouth } from './core-mouths.js';
import { outOfFrame, type DrawFrame } from './draw-frame.js';
import type { Body } from './kernel.js';

/** A place without a mouth. */
export function shutIn(place: Body, where: Vec3): Finding {
  return {
    code: 'core-shut-in',
    severity: 'problem',
    message: `The ${formatVolume(place.volume())} held here is shut in all round: a core in it has nothing to lie on, and its sand no way out.`,
    where,
    remedy: 'Give the casting a hole into the space, or fill it.',
  };
}

/** A place none of whose mouths can be drawn out. */
export function noPrint(place: Body, where: Vec3): Finding {
  return {
    code: 'no-core-print',
    severity: 'warning',
    message: `The ${formatVolume(place.volume())} held here opens all round, or against metal: no print can be drawn straight out of it.`,
    where,
    remedy: 'Use a cheek or a loose piece, or fill the place.',
  };
}

/** A print that metal leaves too little room for. */
export function shortPrint(frame: DrawFrame, mouth: Mouth, wanted: number, found: number): Finding {
  return {
    code: 'short-core-print',
    severity: 'warning',
    message: `Metal leaves room for a print of ${plainNumber(found)} mm here, not of ${plainNumber(wanted)} mm.`,
    where: outOfFrame(frame, ...mouth.middle),
    remedy: 'See that the core cannot tip: carry it by chaplets, or by its other prints.',
  };
}
