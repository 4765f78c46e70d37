/** Pixels to a picture the job can carry: PNG through fast-png. */
import { encode } from 'fast-png';
import { toBase64 } from './base64.js';
import { pickPalette } from './pick-palette.js';
import type { Picture } from './picture.js';
import type { ViewPixels } from './render-view.js';

/** Packs pixels with a title and a description; beyond 256 colours, mixed pixels along edges take the nearest one. */
export function encodePicture(
  pixels: ViewPixels,
  about: Pick<Picture, 'id' | 'title' | 'alt' | 'tones' | 'legend'>,
): Picture {
  const { width, height, rgba, mmPerPx, left, top } = pixels;
  const { palette, data } = pickPalette(rgba);
  const seeThrough = palette.length > 0 && palette[0][3] < 255;
  const colours = seeThrough ? palette : palette.map((colour) => colour.slice(0, 3));
  const image = { width, height, channels: 1, depth: 8, data, palette: colours } as const;
  const png = encode(image, { zlib: { level: 7 } });
  return { ...about, widthPx: width, heightPx: height, mmPerPx, left, top, png: toBase64(png) };
}
