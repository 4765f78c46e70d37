/** Compares a picture with the one kept of it, as an eye would: by distance in OKLab, the soft edges of shapes left out. */
import { encodePicture, type ViewPixels } from '@oddside/card';
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import pixelmatch from 'pixelmatch';
import { decodePng } from './decode-png.js';

const KEPT = fileURLToPath(new URL('stills', import.meta.url));
/** Set it to write the kept pictures anew: RENEW_STILLS=1 npm test -- card/stills */
const RENEW = process.env['RENEW_STILLS'] !== undefined;

/** Distance in OKLab from which a pixel counts as another one; black and white are 1 apart. */
const PIXEL = 0.08;
/** Pixels that may differ: of the whole picture, and of any square of so many pixels, as shares. */
const WHOLE = 0.004;
const SQUARE = 16;
const IN_SQUARE = 0.12;

/** How far two pictures are apart; each share is over its limit at 1. */
export interface StillDifference {
  /** Why they cannot be compared, or an empty text. */
  readonly reason: string;
  readonly overWhole: number;
  readonly overSquare: number;
  /** The differing pixels, marked. */
  readonly marked: Uint8Array;
}

type Still = Pick<ViewPixels, 'width' | 'height' | 'rgba'>;

export function compareStills(ours: Still, kept: Still): StillDifference {
  const { width, height } = ours;
  if (width !== kept.width || height !== kept.height) {
    const reason = `${width} × ${height} pixels came, ${kept.width} × ${kept.height} are kept`;
    return { reason, overWhole: Infinity, overSquare: Infinity, marked: ours.rgba };
  }
  const marked = new Uint8Array(ours.rgba.length);
  const count = pixelmatch(ours.rgba, kept.rgba, marked, width, height, { threshold: PIXEL });
  const worst = pixelmatch(ours.rgba, kept.rgba, null, width, height, { threshold: PIXEL, windowSize: SQUARE });
  return {
    reason: '',
    overWhole: count / (WHOLE * width * height),
    overSquare: worst / (IN_SQUARE * SQUARE * SQUARE),
    marked,
  };
}

/** What is wrong with a picture, or an empty text. Writes what came and where it differs into the temporary folder. */
export function judgeStill(name: string, pixels: ViewPixels): string {
  const file = join(KEPT, `${name}.png`);
  const png = (still: Still): Buffer =>
    Buffer.from(encodePicture({ ...pixels, ...still }, { id: name, title: name, alt: name, tones: [] }).png, 'base64');
  if (RENEW) {
    mkdirSync(KEPT, { recursive: true });
    writeFileSync(file, png(pixels));
  }
  if (!existsSync(file)) return `no still of ${name} is kept; look at it, then RENEW_STILLS=1 npm test -- card/stills`;
  const { reason, overWhole, overSquare, marked } = compareStills(pixels, decodePng(readFileSync(file)));
  if (reason === '' && overWhole <= 1 && overSquare <= 1) return '';
  const folder = join(tmpdir(), 'oddside-stills');
  mkdirSync(folder, { recursive: true });
  writeFileSync(join(folder, `${name}.png`), png(pixels));
  writeFileSync(join(folder, `${name}-differs.png`), png({ ...pixels, rgba: marked }));
  const times = `${overWhole.toFixed(1)} times what may differ in all, ${overSquare.toFixed(1)} times in one place`;
  return `${name}: ${reason || times}. Look at ${folder}; if it is right: RENEW_STILLS=1 npm test -- card/stills`;
}
