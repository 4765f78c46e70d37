/**
 * The one error class. It is thrown for misuse, unreadable bytes and a missing engine; what is wrong with the *pattern*
 * or the *job* is a {@link Finding} in the result instead.
 */

/** What went wrong, as a word a script can test. */
export type OddsideErrorCode =
  | 'bad-option'
  | 'bad-direction'
  | 'bad-number'
  | 'unknown-unit'
  | 'unknown-alloy'
  | 'unknown-name'
  | 'unknown-format'
  | 'empty-file'
  | 'no-triangles'
  | 'bad-file'
  | 'unsupported-file'
  | 'file-too-large'
  | 'unreadable-source'
  | 'unwritable-target'
  | 'missing-engine'
  | 'infeasible'
  | 'bad-pattern';

const BRAND = Symbol.for('oddside.error');

/**
 * An error with a `code` to branch on, a message that says what was expected, what came and what to do, and typed
 * `details` for programs.
 *
 * Recognise it with {@link isOddsideError}, not `instanceof`: two copies of the package in one program still agree.
 */
export class OddsideError extends Error {
  override readonly name = 'OddsideError';
  readonly code: OddsideErrorCode;
  readonly details: Readonly<Record<string, unknown>>;

  constructor(
    code: OddsideErrorCode,
    message: string,
    details: Record<string, unknown> = {},
    options?: { cause?: unknown },
  ) {
    super(message, options);
    this.code = code;
    this.details = details;
    Object.defineProperty(this, BRAND, { value: true });
  }
}

/** True for an {@link OddsideError}, also one thrown by another copy of this package. */
export function isOddsideError(value: unknown): value is OddsideError {
  return typeof value === 'object' && value !== null && (value as Record<symbol, unknown>)[BRAND] === true;
}
