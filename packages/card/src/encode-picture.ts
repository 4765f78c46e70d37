/** Pixels to a picture the job can carry: PNG through fast-png, base64 without Node or a browser. */
import { encode } from 'fast-png';
import { toBase64 } from './base64.js';
import type { Picture } from './picture.js';
import type { ViewPixels } from './render-view.js';

/** Packs pixels with a title and a description. */
export function encodePicture(pixels: ViewPixels, about: Pick<Picture, 'id' | 'title' | 'alt' | 'tones'>): Picture {
  const { width, height, rgba, mmPerPx, left, top } = pixels;
  const png = encode({ width, height, data: rgba, channels: 4, depth: 8 });
  return { ...about, widthPx: width, heightPx: height, mmPerPx, left, top, png: toBase64(png) };
}
