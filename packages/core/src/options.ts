/** One way to take options everywhere: `undefined` means default, an unknown key is an error. */
import { OddsideError } from './error.js';
import { nearestNames } from './nearest-names.js';

/**
 * Fills in defaults.
 *
 * @param caller Name of the function, for the message.
 * @param defaults Every key that is known, with its default; a key whose default is `undefined` is optional.
 * @throws OddsideError `bad-option` for a key that is not in `defaults`, naming the nearest one that is.
 */
export function resolveOptions<T extends object>(caller: string, defaults: T, given: Partial<T> | undefined): T {
  const result = { ...defaults } as Record<string, unknown>;
  if (given === undefined || given === null) return result as T;
  if (typeof given !== 'object') {
    throw new OddsideError('bad-option', `${caller} expects an options object, but ${typeof given} came.`, { caller });
  }
  for (const [key, value] of Object.entries(given)) {
    if (!Object.hasOwn(defaults, key)) {
      const known = Object.keys(defaults);
      const hint = known.length > 0 ? ` Did you mean "${nearestNames(key, known, 1)[0]}"?` : '';
      throw new OddsideError(
        'bad-option',
        `${caller} knows no option "${key}".${hint} It takes: ${known.join(', ') || 'none'}.`,
        { caller, option: key, known },
      );
    }
    if (value !== undefined) result[key] = value;
  }
  return result as T;
}

/** What a number option must satisfy. */
export interface NumberLimits {
  readonly min?: number;
  readonly max?: number;
  readonly whole?: boolean;
  /** True where `min` itself is not allowed. */
  readonly above?: boolean;
}

/**
 * Checks one number and returns it.
 *
 * @param what The option's name with its unit, for the message, such as `yieldFraction (0–1)`.
 * @throws OddsideError `bad-number` that says the range and what came.
 */
export function checkNumber(what: string, value: unknown, limits: NumberLimits = {}): number {
  const { min = -Infinity, max = Infinity, whole = false, above = false } = limits;
  const good =
    typeof value === 'number' &&
    Number.isFinite(value) &&
    (above ? value > min : value >= min) &&
    value <= max &&
    (!whole || Number.isInteger(value));
  if (good) return value;
  const kind = whole ? 'a whole number' : 'a finite number';
  const low = min === -Infinity ? '' : above ? ` above ${min}` : ` of at least ${min}`;
  const high = max === Infinity ? '' : `${low ? ' and' : ''} at most ${max}`;
  throw new OddsideError('bad-number', `${what} must be ${kind}${low}${high}, but ${describe(value)} came.`, {
    what,
    given: value,
    min,
    max,
  });
}

/**
 * Checks that a value is one of a few and returns it.
 *
 * @param what The option's name, with the function's where that helps, for the message.
 * @throws OddsideError `bad-option`, or the code given, that names the choices and what came.
 */
export function checkChoice<T extends string | number>(
  what: string,
  value: unknown,
  choices: readonly T[],
  code: 'bad-option' | 'unknown-name' = 'bad-option',
): T {
  if (choices.includes(value as T)) return value as T;
  const list = choices.join(', ').replace(/, (?=[^,]*$)/, ' or ');
  throw new OddsideError(code, `${what} must be ${list}, but "${String(value).slice(0, 40)}" came.`, {
    what,
    given: value,
    choices,
  });
}

function describe(value: unknown): string {
  if (typeof value === 'number') return String(value);
  if (typeof value === 'string') return `the text "${value.slice(0, 40)}"`;
  if (value === null) return 'null';
  return Array.isArray(value) ? 'an array' : typeof value;
}
