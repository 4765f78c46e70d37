/** Flags by which the founder says how the pattern may lie. */
import { OddsideError, type Vec3 } from '@oddside/core';
import type { DrawLimits, PartingWishes } from '@oddside/parting';
import { numberFlag, type Flag, type Flags } from './read-flags.js';

/** The flags. Points are mm in the file's coordinates. */
export const WISH_FLAGS: readonly Flag[] = Object.freeze([
  { name: 'down', value: 'X,Y,Z', help: 'a point on the face that must lie down in the drag, mm' },
  { name: 'upright', value: 'X,Y,Z', help: 'an axis that must stand upright, either end up' },
  { name: 'unmarked', value: 'X,Y,Z', help: 'a point on a face the joint must not mark; several with / between' },
  { name: 'machined', value: 'X,Y,Z', help: 'a point on a face to be machined, better down; several with / between' },
  { name: 'most-cope-depth', value: 'MM', help: 'depth of pattern in the cope that must not be passed, mm' },
  { name: 'most-drag-depth', value: 'MM', help: 'depth of pattern in the drag that must not be passed, mm' },
]);

/** The wishes on a command line; `undefined` where there are none. */
export function wishesOf(flags: Flags): Partial<PartingWishes> | undefined {
  const down = tripleFlag(flags, 'down');
  const upright = tripleFlag(flags, 'upright', 'bad-direction');
  const unmarked = triplesFlag(flags, 'unmarked');
  const machined = triplesFlag(flags, 'machined');
  if (!down && !upright && !unmarked && !machined) return undefined;
  const faces = (points: Vec3[] | undefined): { point: Vec3 }[] | undefined => points?.map((point) => ({ point }));
  return {
    faceDown: down && { point: down },
    upright,
    unmarked: faces(unmarked),
    machined: faces(machined),
  };
}

/** The limits on a command line; `undefined` where there are none. */
export function limitsOf(flags: Flags): Partial<DrawLimits> | undefined {
  const copeDepth = numberFlag(flags, 'most-cope-depth');
  const dragDepth = numberFlag(flags, 'most-drag-depth');
  return copeDepth === undefined && dragDepth === undefined ? undefined : { copeDepth, dragDepth };
}

/**
 * Three numbers given to a flag.
 *
 * @throws OddsideError `bad-number` or the code given, that names the flag and what came.
 */
export function tripleFlag(
  flags: Flags,
  name: string,
  code: 'bad-number' | 'bad-direction' = 'bad-number',
): Vec3 | undefined {
  const text = flags.texts.get(name);
  return text === undefined ? undefined : tripleOf(text, name, code);
}

function triplesFlag(flags: Flags, name: string): Vec3[] | undefined {
  return flags.texts
    .get(name)
    ?.split('/')
    .map((part) => tripleOf(part, name, 'bad-number'));
}

function tripleOf(text: string, name: string, code: 'bad-number' | 'bad-direction'): Vec3 {
  const parts = text.split(',').map((part) => (part.trim() === '' ? NaN : Number(part)));
  if (parts.length === 3 && parts.every(Number.isFinite)) return parts as unknown as Vec3;
  throw new OddsideError(code, `--${name} needs three numbers with commas, such as 0,0,1; "${text}" came.`);
}
