/** What measuring has to say, in plain words. */
import { formatVolume, type Finding, type Vec3 } from '@oddside/core';

export function insideOut(): Finding {
  return {
    code: 'inside-out',
    severity: 'warning',
    message: 'All faces point inwards; the pattern was measured as if turned outwards.',
    remedy: 'Mend the pattern: its faces are turned.',
  };
}

export function shellsTurned(turned: number, shells: number, where: Vec3): Finding {
  return {
    code: 'shells-inside-out',
    severity: 'warning',
    message: `${turned} of ${shells} shells are bodies whose faces point inwards; they were measured as if turned outwards.`,
    where,
    remedy: 'Mend the pattern: their faces are turned.',
  };
}

export function overlapping(volume: number, anywhere: number, error: number): Finding {
  return {
    code: 'volume-overlap',
    severity: 'problem',
    message:
      `The surface overlaps itself: counted layer by layer it holds ${formatVolume(volume)}, counted once about ` +
      `${formatVolume(anywhere)}. The volume is uncertain by ${formatVolume(error)}.`,
    remedy: 'Join the overlapping bodies into one (a union), then measure again.',
  };
}

export function uncertain(low: number, high: number, open: boolean): Finding {
  return {
    code: 'volume-uncertain',
    severity: 'problem',
    message:
      `The surface ${open ? 'is not closed' : 'does not agree which side is out'}, so its volume is only known to be ` +
      `between ${formatVolume(low)} and ${formatVolume(high)}.`,
    remedy: 'Mend the pattern first.',
  };
}

export function doubled(high: number): Finding {
  return {
    code: 'volume-uncertain',
    severity: 'problem',
    message:
      `Most of the surface is there twice, back to back, so its volume cannot be told: it may be a thin sheet or a ` +
      `solid of up to ${formatVolume(high)}.`,
    remedy: 'Export the object as one closed skin.',
  };
}
