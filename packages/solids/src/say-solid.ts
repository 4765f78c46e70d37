/** What making a solid tells. */
import { formatVolume, plainNumber, type Finding } from '@oddside/core';
import type { NewSkin } from './remesh-solid.js';

/** Mending had to come first. */
export function mended(steps: readonly string[]): Finding {
  return {
    code: 'mended-first',
    severity: 'note',
    message: `The surface enclosed no volume and was mended first. ${steps.join(' ')}`,
    remedy: 'Compare the solid with the object where it was mended.',
  };
}

/** Shells became fewer bodies. */
export function united(shells: number, bodies: number, changeMm3: number): Finding {
  const less = changeMm3 < 0 ? 'smaller' : 'larger';
  return {
    code: 'shells-united',
    severity: 'note',
    message: `${shells} shells became ${bodies === 1 ? 'one body' : `${bodies} bodies`}; the volume is ${formatVolume(Math.abs(changeMm3))} ${less} than the sum of the shells.`,
    remedy: 'Compare the solid with the pattern before relying on it.',
  };
}

/** Shells had their faces inward. */
export function turnedOut(count: number): Finding {
  return {
    code: 'shells-turned-out',
    severity: 'note',
    message: `${count === 1 ? 'A shell' : `${count} shells`} with the faces inward, round metal and not round a space in another, ${count === 1 ? 'was' : 'were'} turned outward.`,
    remedy: 'If it was meant as a space, give it the body round it.',
  };
}

/** A shell cuts itself and was taken as it is. */
export function cutsItself(pairs: number, doubledMm3: number): Finding {
  return {
    code: 'shell-cuts-itself',
    severity: 'warning',
    message: `A shell cuts or touches itself in ${pairs} pairs of faces and was taken as it is; ${formatVolume(doubledMm3)} lie in it twice or inside out.`,
    remedy: 'Ask for a new skin (remesh: "always"), or mend the shell where it was made.',
  };
}

/** A new skin was laid. */
export function newSkin(skin: NewSkin, whole: boolean, changeMm3: number | null): Finding {
  const change =
    changeMm3 === null
      ? ''
      : ` The volume is ${formatVolume(Math.abs(changeMm3))} ${changeMm3 < 0 ? 'smaller' : 'larger'} than what the faces enclosed.`;
  const bridged = skin.bridgedShare > 0 ? ` ${share(skin.bridgedShare)} of it lies over holes.` : '';
  const lost = skin.lostShare > 0 ? ` ${share(skin.lostShare)} of the old corners have no new skin near them.` : '';
  const much = skin.lostShare > 0.001 || skin.bridgedShare > 0.05;
  return {
    code: 'remeshed',
    severity: much ? 'warning' : 'note',
    message:
      `${whole ? 'The pattern' : 'A shell that lies over itself'} got a new skin in cells of ${plainNumber(skin.resolution)} mm, at most ${plainNumber(skin.distance)} mm off the old surface. ` +
      `Sharp edges are rounded by up to a cell, and walls thinner than a cell may be lost.${bridged}${lost}${change}`,
    remedy: 'Use a finer resolution where edges matter, or mend the surface where it was made.',
  };
}

const share = (part: number): string => `${(100 * part).toPrecision(2)} %`;
