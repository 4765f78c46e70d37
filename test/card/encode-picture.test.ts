import { encodePicture, renderView, toBase64 } from '@oddside/card';
import { describe, expect, it } from 'vitest';
import { seededRandom, sphere } from '../helpers/shapes.js';
import { decodePng } from './decode-png.js';

describe('toBase64', () => {
  it('writes what Node writes, for every length and byte', () => {
    const random = seededRandom(5);
    for (const size of [0, 1, 2, 3, 4, 5, 63, 255, 6143, 6144, 6145, 30_001]) {
      const bytes = Uint8Array.from({ length: size }, () => Math.floor(random() * 256));
      expect(toBase64(bytes)).toBe(Buffer.from(bytes).toString('base64'));
    }
    expect(toBase64(Uint8Array.from({ length: 256 }, (_, i) => i))).toMatch(/^AAECAwQF.*\/v8=$|^AAECAwQF/);
  });
});

describe('encodePicture', () => {
  it('keeps every pixel', () => {
    const view = renderView(sphere(9, 3), { longestPx: 90 });
    const picture = encodePicture(view, { id: 'x', title: 'X', alt: 'an x', tones: [0] });
    const back = decodePng(Buffer.from(picture.png, 'base64'));
    expect([back.width, back.height]).toEqual([view.width, view.height]);
    expect(back.rgba).toEqual(view.rgba);
    expect(picture).toMatchObject({ id: 'x', widthPx: view.width, heightPx: view.height, mmPerPx: view.mmPerPx });
  });
});
