/** Casting modulus: volume over cooling area, the length that governs freezing. */
import { checkNumber, OddsideError } from '@oddside/core';
import { positive } from './check-option.js';
import { GEOMETRY } from './references.js';
import { type FoundryResult, quantity, working } from './result.js';

/** A simple shape, mm. "Endless" shapes lose no heat through their ends. */
export type SimpleShape =
  | { readonly shape: 'sphere'; readonly diameter: number }
  | { readonly shape: 'cube'; readonly side: number }
  /** `coolingEnds`: 2 when it stands free (default), 1 when it sits on the casting. */
  | { readonly shape: 'cylinder'; readonly diameter: number; readonly height: number; readonly coolingEnds?: 0 | 1 | 2 }
  | { readonly shape: 'block'; readonly length: number; readonly width: number; readonly height: number }
  | { readonly shape: 'endless round bar'; readonly diameter: number }
  | { readonly shape: 'endless bar'; readonly width: number; readonly height: number }
  /** Also the wall of a tube that cools inside and out. */
  | { readonly shape: 'endless plate'; readonly thickness: number }
  /** By its section; holds for rings much wider than their section. */
  | { readonly shape: 'ring'; readonly sectionDiameter: number }
  /** Any body: leave out of the area what touches another part or a feeder, which does not cool. */
  | { readonly shape: 'body'; readonly volumeMm3: number; readonly coolingAreaMm2: number };

/** The modulus and, for a shape with ends, what it was made from. */
export interface ModulusResult extends FoundryResult {
  /** mm. */
  readonly modulus: number;
  readonly volumeMm3: number | undefined;
  readonly coolingAreaMm2: number | undefined;
}

function unknownShape(shape: unknown): OddsideError {
  return new OddsideError(
    'bad-option',
    `modulusOf knows sphere, cube, cylinder, block, endless round bar, endless bar, endless plate, ring and body, but "${String(shape)}" came.`,
  );
}

function measure(s: SimpleShape): readonly [modulus: number, volumeMm3?: number, coolingAreaMm2?: number] {
  const whole = (volume: number, area: number): [number, number, number] => [volume / area, volume, area];
  switch (s.shape) {
    case 'sphere': {
      const d = positive(s, 'diameter', 'mm');
      return whole((Math.PI / 6) * d ** 3, Math.PI * d * d);
    }
    case 'cube': {
      const a = positive(s, 'side', 'mm');
      return whole(a ** 3, 6 * a * a);
    }
    case 'cylinder': {
      const d = positive(s, 'diameter', 'mm');
      const h = positive(s, 'height', 'mm');
      const ends = checkNumber('coolingEnds', s.coolingEnds ?? 2, { min: 0, max: 2, whole: true });
      const end = (Math.PI / 4) * d * d;
      return whole(end * h, Math.PI * d * h + ends * end);
    }
    case 'block': {
      const [a, b, c] = [positive(s, 'length', 'mm'), positive(s, 'width', 'mm'), positive(s, 'height', 'mm')];
      return whole(a * b * c, 2 * (a * b + b * c + c * a));
    }
    case 'endless round bar':
      return [positive(s, 'diameter', 'mm') / 4];
    case 'endless bar': {
      const [a, b] = [positive(s, 'width', 'mm'), positive(s, 'height', 'mm')];
      return [(a * b) / (2 * (a + b))];
    }
    case 'endless plate':
      return [positive(s, 'thickness', 'mm') / 2];
    case 'ring':
      return [positive(s, 'sectionDiameter', 'mm') / 4];
    case 'body':
      return whole(positive(s, 'volumeMm3', 'mm³'), positive(s, 'coolingAreaMm2', 'mm²'));
    default:
      throw unknownShape((s as { shape: unknown }).shape);
  }
}

/** Volume over cooling area of a simple shape or of any body. Exact but for `ring`, whose curvature is left out. */
export function modulusOf(shape: SimpleShape): ModulusResult {
  if (typeof shape !== 'object' || shape === null) throw unknownShape(shape);
  const [modulus, volumeMm3, coolingAreaMm2] = measure(shape);
  return {
    modulus,
    volumeMm3,
    coolingAreaMm2,
    workings: [
      working(
        `modulus of a ${shape.shape}`,
        'M = V / A, A the cooling surface',
        [
          ...(volumeMm3 === undefined ? [] : [quantity('volume', volumeMm3, 'mm³')]),
          ...(coolingAreaMm2 === undefined ? [] : [quantity('cooling area', coolingAreaMm2, 'mm²')]),
        ],
        quantity('modulus', modulus, 'mm'),
        GEOMETRY,
      ),
    ],
    findings: [],
  };
}
