/** The usual facet of a text STL, taken in one go. */
import { isCoordinate } from './raw-mesh.js';
import { POWERS, isBlank, longQuotient, parseDecimal } from './scan-bytes.js';

/** Digits that a 32-bit number holds whatever they are. */
const HALF = 9;
/** Digits that a double holds whatever they are. */
const WHOLE = 15;
const FAIL = -1;

/**
 * Takes a facet that is written as nearly every program writes it: `facet normal`, three numbers, `outer loop`, three
 * times `vertex` and three numbers, `endloop endfacet`, in any case and with any blanks. Everything else is left to the
 * reader of single words, which gives the same for these, at less than half the speed.
 *
 * The pieces are functions of their own, and letters are compared one by one, because the engine then keeps each in
 * registers: written shorter it takes half as long again.
 *
 * @param corners Takes the nine coordinates; only of use when a facet was taken.
 * @returns Where the facet ends, or -1 when none such begins at `start` or after blanks there.
 */
export function takeFacet(bytes: Uint8Array, start: number, corners: Float64Array): number {
  let at = takeHead(bytes, start);
  if (at !== FAIL) at = takeCorner(bytes, at, corners, 0);
  if (at !== FAIL) at = takeCorner(bytes, at, corners, 3);
  if (at !== FAIL) at = takeCorner(bytes, at, corners, 6);
  return at === FAIL ? FAIL : takeTail(bytes, at);
}

/** `facet normal n n n outer loop` */
function takeHead(b: Uint8Array, start: number): number {
  let at = start;
  while (isBlank(b[at])) at++;
  if ((b[at] | 32) !== 102 || (b[at + 1] | 32) !== 97 || (b[at + 2] | 32) !== 99) return FAIL;
  if ((b[at + 3] | 32) !== 101 || (b[at + 4] | 32) !== 116 || !isBlank(b[at + 5])) return FAIL;
  at += 6;
  while (isBlank(b[at])) at++;
  if ((b[at] | 32) !== 110 || (b[at + 1] | 32) !== 111 || (b[at + 2] | 32) !== 114) return FAIL;
  if ((b[at + 3] | 32) !== 109 || (b[at + 4] | 32) !== 97 || (b[at + 5] | 32) !== 108) return FAIL;
  at += 6;
  if (!isBlank(b[at])) return FAIL;
  // The normal is worked out from the corners. Words that begin as numbers do cannot be keywords.
  for (let i = 0; i < 3; i++) {
    while (isBlank(b[at])) at++;
    if (!(b[at] >= 43 && b[at] <= 57)) return FAIL;
    while (b[at] > 32) at++;
  }
  if (!isBlank(b[at])) return FAIL;
  while (isBlank(b[at])) at++;
  if ((b[at] | 32) !== 111 || (b[at + 1] | 32) !== 117 || (b[at + 2] | 32) !== 116) return FAIL;
  if ((b[at + 3] | 32) !== 101 || (b[at + 4] | 32) !== 114 || !isBlank(b[at + 5])) return FAIL;
  at += 6;
  while (isBlank(b[at])) at++;
  if ((b[at] | 32) !== 108 || (b[at + 1] | 32) !== 111 || (b[at + 2] | 32) !== 111) return FAIL;
  return (b[at + 3] | 32) === 112 && isBlank(b[at + 4]) ? at + 5 : FAIL;
}

/** `vertex x y z` */
function takeCorner(b: Uint8Array, start: number, corners: Float64Array, slot: number): number {
  let at = start;
  while (isBlank(b[at])) at++;
  if ((b[at] | 32) !== 118 || (b[at + 1] | 32) !== 101 || (b[at + 2] | 32) !== 114) return FAIL;
  if ((b[at + 3] | 32) !== 116 || (b[at + 4] | 32) !== 101 || (b[at + 5] | 32) !== 120) return FAIL;
  at += 6;
  if (!isBlank(b[at])) return FAIL;
  for (let k = 0; k < 3; k++) {
    while (isBlank(b[at])) at++;
    const word = at;
    let c = b[at];
    const negative = c === 45;
    if (negative || c === 43) c = b[++at];
    // Two whole numbers of 32 bits: digits up to the ninth, and those after it.
    let high = 0;
    let low = 0;
    let digits = 0;
    let scale = 0;
    while (c >= 48 && c <= 57) {
      if (digits < HALF) high = (Math.imul(high, 10) + c - 48) | 0;
      else low = (Math.imul(low, 10) + c - 48) | 0;
      digits++;
      c = b[++at];
    }
    if (c === 46) {
      c = b[++at];
      const first = at;
      while (c >= 48 && c <= 57) {
        if (digits < HALF) high = (Math.imul(high, 10) + c - 48) | 0;
        else low = (Math.imul(low, 10) + c - 48) | 0;
        digits++;
        c = b[++at];
      }
      scale = first - at;
    }
    if (digits === 0) return FAIL;
    if ((c | 32) === 101) {
      c = b[++at];
      const down = c === 45;
      if (down || c === 43) c = b[++at];
      const first = at;
      let exponent = 0;
      while (c >= 48 && c <= 57) {
        exponent = (Math.imul(exponent, 10) + c - 48) | 0;
        c = b[++at];
      }
      if (at === first || at - first > 4) return FAIL;
      scale += down ? -exponent : exponent;
    }
    if (!isBlank(c)) return FAIL;
    let value = scaleDigits(high, low, digits, scale);
    if (Number.isNaN(value)) value = parseDecimal(b, word, at);
    else if (negative) value = -value;
    if (!isCoordinate(value)) return FAIL;
    corners[slot + k] = value;
  }
  return at;
}

/** `endloop endfacet` */
function takeTail(b: Uint8Array, start: number): number {
  let at = start;
  while (isBlank(b[at])) at++;
  if ((b[at] | 32) !== 101 || (b[at + 1] | 32) !== 110 || (b[at + 2] | 32) !== 100) return FAIL;
  if ((b[at + 3] | 32) !== 108 || (b[at + 4] | 32) !== 111 || (b[at + 5] | 32) !== 111) return FAIL;
  if ((b[at + 6] | 32) !== 112 || !isBlank(b[at + 7])) return FAIL;
  at += 8;
  while (isBlank(b[at])) at++;
  if ((b[at] | 32) !== 101 || (b[at + 1] | 32) !== 110 || (b[at + 2] | 32) !== 100) return FAIL;
  if ((b[at + 3] | 32) !== 102 || (b[at + 4] | 32) !== 97 || (b[at + 5] | 32) !== 99) return FAIL;
  return (b[at + 6] | 32) === 101 && (b[at + 7] | 32) === 116 && isBlank(b[at + 8]) ? at + 9 : FAIL;
}

/** `high` and `low` as one row of digits, times ten to the power of `scale`, correctly rounded; NaN where that is slow. */
function scaleDigits(high: number, low: number, digits: number, scale: number): number {
  if (scale < -22 || scale > 22 || digits > 2 * HALF) return NaN;
  if (digits <= WHOLE) {
    // Both are exact and one division or multiplication rounds once (see `parseDecimal`).
    const mantissa = digits <= HALF ? high : high * POWERS[digits - HALF] + low;
    return scale < 0 ? mantissa / POWERS[-scale] : mantissa * POWERS[scale];
  }
  return scale > 0 ? NaN : longQuotient(high, POWERS[digits - HALF], low, POWERS[-scale]);
}
