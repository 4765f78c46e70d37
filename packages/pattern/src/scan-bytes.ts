/**
 * A scanner of words and numbers over bytes. Text formats are read without making strings: a string of the whole file
 * costs twice its size and cannot hold more than about 512 MB.
 */
/** The powers of ten that a double holds exactly. Not to be written to. */
export const POWERS: Float64Array = Float64Array.from({ length: 23 }, (_, i) => Number(`1e${i}`));
/** Most digits beyond the fifteenth that are taken exactly. */
const MOST_LOW = 7;
const SPLIT = 2 ** 27 + 1;

/** True for blank, tab, line feed, vertical tab, form feed, carriage return and NUL. */
export function isBlank(byte: number): boolean {
  return byte === 32 || (byte <= 13 && (byte >= 9 || byte === 0));
}

/** True for line feed and carriage return: both end a line, alone or together. */
export function isLineEnd(byte: number): boolean {
  return byte === 10 || byte === 13;
}

/** Walks through the words of a text in bytes. `at` is the offset of the next byte to look at. */
export class ByteScanner {
  at = 0;
  /** Where the last word found by {@link word} starts, and one past its end. */
  start = 0;
  end = 0;

  constructor(
    readonly bytes: Uint8Array,
    readonly limit: number = bytes.length,
  ) {}

  /** Moves to the next word and takes it. False at the end of the text. */
  word(): boolean {
    const { bytes, limit } = this;
    let at = this.at;
    while (at < limit && isBlank(bytes[at])) at++;
    this.start = at;
    while (at < limit && !isBlank(bytes[at])) at++;
    this.end = at;
    this.at = at;
    return this.end > this.start;
  }

  /** Like {@link word}, but stops before a line end. False where the line has no further word. */
  wordOnLine(): boolean {
    const { bytes, limit } = this;
    let at = this.at;
    while (at < limit && isBlank(bytes[at]) && !isLineEnd(bytes[at])) at++;
    this.start = at;
    while (at < limit && !isBlank(bytes[at])) at++;
    this.end = at;
    this.at = at;
    return this.end > this.start;
  }

  /** Moves to the first byte after the current line and its end mark. */
  skipLine(): void {
    const { bytes, limit } = this;
    let at = this.at;
    while (at < limit && !isLineEnd(bytes[at])) at++;
    if (at < limit && bytes[at] === 13 && bytes[at + 1] === 10) at++;
    this.at = Math.min(at + 1, limit);
  }

  /** True when the last word is `lower`, whatever its case. `lower` must be lower-case letters. */
  is(lower: string): boolean {
    const { bytes, start } = this;
    if (this.end - start !== lower.length) return false;
    for (let i = 0; i < lower.length; i++) {
      if ((bytes[start + i] | 32) !== lower.charCodeAt(i)) return false;
    }
    return true;
  }

  /** The last word as a string, for messages; long ones are cut. */
  text(longest = 40): string {
    let text = '';
    for (let i = this.start; i < Math.min(this.end, this.start + longest); i++) {
      const byte = this.bytes[i];
      text += byte < 32 || byte > 126 ? '?' : String.fromCharCode(byte);
    }
    return text;
  }

  /** The last word as a decimal number; NaN for anything else ("nan", "1,5", "0x10", "blah"). */
  number(): number {
    return parseDecimal(this.bytes, this.start, this.end);
  }
}

/**
 * Reads `[+-]digits[.digits][(e|E|d|D)[+-]digits]`, correctly rounded. NaN for anything else.
 *
 * Up to 15 digits and a small exponent, mantissa and power of ten are both exact doubles and one multiplication or
 * division rounds once, which is the correct rounding (Clinger 1990, "How to read floating point numbers accurately");
 * longer numbers take the slow way through the engine's own parser.
 */
export function parseDecimal(bytes: Uint8Array, start: number, end: number): number {
  let at = start;
  let negative = false;
  if (at < end && (bytes[at] === 45 || bytes[at] === 43)) negative = bytes[at++] === 45;
  let mantissa = 0;
  // Digits beyond the fifteenth go into a second number.
  let low = 0;
  let lowDigits = 0;
  let digits = 0;
  let scale = 0;
  while (at < end) {
    const digit = bytes[at] - 48;
    if (digit < 0 || digit > 9) break;
    if (mantissa < 1e14) mantissa = mantissa * 10 + digit;
    else if (++lowDigits <= MOST_LOW) low = low * 10 + digit;
    digits++;
    at++;
  }
  if (at < end && bytes[at] === 46) {
    at++;
    while (at < end) {
      const digit = bytes[at] - 48;
      if (digit < 0 || digit > 9) break;
      if (mantissa < 1e14) mantissa = mantissa * 10 + digit;
      else if (++lowDigits <= MOST_LOW) low = low * 10 + digit;
      digits++;
      scale--;
      at++;
    }
  }
  if (digits === 0) return NaN;
  if (at < end) {
    const mark = bytes[at] | 32;
    if (mark !== 101 && mark !== 100) return NaN;
    at++;
    let down = false;
    if (at < end && (bytes[at] === 45 || bytes[at] === 43)) down = bytes[at++] === 45;
    if (at >= end) return NaN;
    let exponent = 0;
    while (at < end) {
      const digit = bytes[at] - 48;
      if (digit < 0 || digit > 9) return NaN;
      if (exponent < 100000) exponent = exponent * 10 + digit;
      at++;
    }
    scale += down ? -exponent : exponent;
  }
  let value = NaN;
  if (scale >= -22 && scale <= 22) {
    if (lowDigits === 0) value = scale < 0 ? mantissa / POWERS[-scale] : mantissa * POWERS[scale];
    else if (scale <= 0 && lowDigits <= MOST_LOW)
      value = longQuotient(mantissa, POWERS[lowDigits], low, POWERS[-scale]);
  }
  if (Number.isNaN(value)) value = slowDecimal(bytes, start, end, negative);
  return negative ? -value : value;
}

/**
 * (high · shift + low) / divisor in twice the usual precision (Dekker 1971), rounded once. NaN where the rounding is too
 * close to call. Numbers of 16 to 22 digits are common: programs print 32-bit coordinates as if they were 64-bit ones.
 */
export function longQuotient(high: number, shift: number, low: number, divisor: number): number {
  const product = high * shift;
  const sum = product + low;
  const rest = productError(high, shift, product) + (low - (sum - product));
  const quotient = sum / divisor;
  const back = quotient * divisor;
  const correction = (sum - back - productError(quotient, divisor, back) + rest) / divisor;
  const value = quotient + correction;
  const sure = quotient + correction * (1 + 1e-9) === value && quotient + correction * (1 - 1e-9) === value;
  return sure ? value : NaN;
}

/** What is lost when a · b is rounded to `product`. */
function productError(a: number, b: number, product: number): number {
  const ca = a * SPLIT;
  const ah = ca - (ca - a);
  const al = a - ah;
  const cb = b * SPLIT;
  const bh = cb - (cb - b);
  const bl = b - bh;
  return al * bl - (product - ah * bh - al * bh - ah * bl);
}

/** The same number without its sign, by the engine. Only called for text already known to be a decimal number. */
function slowDecimal(bytes: Uint8Array, start: number, end: number, negative: boolean): number {
  // A word of a thousand digits is still a number; one of a megabyte is damage.
  if (end - start > 2000) return NaN;
  let text = '';
  for (let i = start; i < end; i++) text += String.fromCharCode(bytes[i]);
  const value = Number(text.replace(/[dD]/, 'e'));
  return negative ? -value : value;
}
