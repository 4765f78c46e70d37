import { encodePicture, renderView, toBase64 } from '@oddside/card';
import { describe, expect, it } from 'vitest';
import { box, seededRandom, sphere } from '../helpers/shapes.js';
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
  const about = { id: 'x', title: 'X', alt: 'an x', tones: [0] };

  it('keeps every pixel of a picture of few colours, see-through ones too', () => {
    const view = renderView(box([0, 0, 0], [9, 7, 5]), { longestPx: 90 });
    const picture = encodePicture(view, about);
    const back = decodePng(Buffer.from(picture.png, 'base64'));
    expect([back.width, back.height]).toEqual([view.width, view.height]);
    expect(new Set(new Uint32Array(view.rgba.buffer)).size).toBeGreaterThan(5);
    expect(Buffer.from(back.rgba).equals(Buffer.from(view.rgba))).toBe(true);
    expect(picture).toMatchObject({ ...about, widthPx: view.width, heightPx: view.height, mmPerPx: view.mmPerPx });
  });

  it('keeps a picture without anything see-through', () => {
    const rgba = Uint8Array.from({ length: 64 }, (_, i) => (i % 4 === 3 ? 255 : i * 3));
    const view = { width: 4, height: 4, rgba, mmPerPx: 1, left: 0, top: 0, right: [1, 0, 0], up: [0, 0, 1] } as const;
    const back = decodePng(Buffer.from(encodePicture(view, about).png, 'base64'));
    expect([...back.rgba]).toEqual([...rgba]);
  });

  it('stays near a picture of many colours', () => {
    const toneAt = (x: number, y: number, z: number): number => Math.abs(Math.floor(x / 2 + y / 3 + z / 2)) % 6;
    const view = renderView(sphere(9, 4), { longestPx: 220, toneAt });
    expect(new Set(new Uint32Array(view.rgba.buffer)).size).toBeGreaterThan(600);
    const back = decodePng(Buffer.from(encodePicture(view, about).png, 'base64'));
    let squares = 0;
    let far = 0;
    for (let i = 0; i < view.rgba.length; i++) {
      const off = Math.abs(back.rgba[i] - view.rgba[i]);
      squares += off * off;
      if (off > 32) far++;
    }
    expect(Math.sqrt(squares / view.rgba.length)).toBeLessThan(3);
    expect(far).toBe(0);
  });
});
