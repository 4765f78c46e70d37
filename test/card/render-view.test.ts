import { TONE, TONES, renderView, type ViewPixels } from '@oddside/card';
import { isOddsideError } from '@oddside/core';
import { describe, expect, it } from 'vitest';
import { box, merge, rotate, sphere, translate } from '../helpers/shapes.js';

/** Area that the picture covers, mm²: opacity is the share of a pixel's samples that are drawn. */
function coverMm2({ rgba, mmPerPx }: ViewPixels): number {
  let sum = 0;
  for (let i = 3; i < rgba.length; i += 4) sum += rgba[i] / 255;
  return sum * mmPerPx * mmPerPx;
}

const pixelAt = ({ rgba, width, mmPerPx, left, top }: ViewPixels, x: number, y: number): number[] => {
  const at = (Math.floor((top - y) / mmPerPx) * width + Math.floor((x - left) / mmPerPx)) * 4;
  return [...rgba.subarray(at, at + 4)];
};

describe('the shape that renderView draws', () => {
  it('of a box is its face, to the width of its edge', () => {
    const mesh = box([0, 0, 0], [40, 20, 10]);
    const front = renderView(mesh, { look: [0, 1, 0], longestPx: 400 });
    expect(Math.abs(coverMm2(front) - 400)).toBeLessThan(0.51 * front.mmPerPx * 2 * (40 + 10));
    const top = renderView(mesh, { look: [0, 0, -1], up: [0, 1, 0], longestPx: 400 });
    expect(Math.abs(coverMm2(top) - 800)).toBeLessThan(0.51 * top.mmPerPx * 2 * (40 + 20));
  });

  it('of a box seen along its long diagonal is half the sum of its projected faces', () => {
    // Shadow of a box along a unit vector n: Σ |n_i| · area of face i.
    const mesh = box([0, 0, 0], [30, 20, 10]);
    const view = renderView(mesh, { look: [2, 3, 6], longestPx: 600 });
    expect(coverMm2(view)).toBeCloseTo((2 * 200 + 3 * 300 + 6 * 600) / 7, -0.7);
  });

  it('of a sphere is its great circle, whichever way it is seen', () => {
    const mesh = sphere(25, 5);
    for (const look of [
      [1, 0, 0],
      [-1, 2, -3],
      [0.2, 0.1, -1],
    ] as const) {
      expect(Math.abs(coverMm2(renderView(mesh, { look, longestPx: 300 })) / (Math.PI * 625) - 1)).toBeLessThan(0.004);
    }
  });

  it('lies where it says it lies', () => {
    const mesh = translate(box([0, 0, 0], [10, 10, 10]), [100, 50, -7]);
    const view = renderView(mesh, { look: [0, 1, 0], longestPx: 200, rim: 0.1 });
    expect(view.right).toEqual([1, 0, 0]);
    expect(pixelAt(view, 100.2, -6.8)[3]).toBe(255);
    expect(pixelAt(view, 109.8, 2.8)[3]).toBe(255);
    expect(pixelAt(view, 99.8, -6.8)[3]).toBe(0);
    expect(pixelAt(view, 100.2, 3.2)[3]).toBe(0);
    expect(view.left).toBeCloseTo(99, 5);
    expect(view.top).toBeCloseTo(4, 5);
  });

  it('is the same bytes every time, and the mesh is left alone', () => {
    const mesh = rotate(sphere(7, 3), [1, 2, 3], 33);
    const before = mesh.positions.slice();
    expect(renderView(mesh, { longestPx: 120 })).toEqual(renderView(mesh, { longestPx: 120 }));
    expect(mesh.positions).toEqual(before);
  });

  it('shows the inner side where the surface is open', () => {
    const mesh = box([0, 0, 0], [10, 10, 10]);
    const open = { positions: mesh.positions, triangles: mesh.triangles.slice(0, 6) };
    const seen = [1, -1].map((z) => coverMm2(renderView(open, { look: [0, 0.01, z], up: [0, 1, 0], longestPx: 100 })));
    expect(seen[0]).toBeGreaterThan(0);
    expect(seen[0]).toBeCloseTo(seen[1], 0);
  });
});

describe('what renderView paints', () => {
  const two = merge(box([0, 0, 0], [10, 10, 10]), translate(box([0, 0, 0], [10, 10, 10]), [3, 20, 3]));

  it('is the nearer surface, told by its triangle, place and normal', () => {
    const toneAt = (
      _x: number,
      y: number,
      _z: number,
      _nx: number,
      ny: number,
      _nz: number,
      triangle: number,
    ): number => {
      expect(ny).toBeCloseTo(-1);
      expect([0, 20].some((at) => Math.abs(y - at) < 1e-9)).toBe(true);
      return triangle < 12 ? TONE.cope : TONE.drag;
    };
    const view = renderView(two, { look: [0, 1, 0], longestPx: 130, toneAt, rim: 0 });
    const [near, far] = [pixelAt(view, 5, 5), pixelAt(view, 12, 12)];
    const ratio = (rgb: readonly number[]): number => rgb[0] / rgb[2];
    expect(ratio(near)).toBeCloseTo(ratio(TONES[TONE.cope].rgb), 1);
    expect(ratio(far)).toBeCloseTo(ratio(TONES[TONE.drag].rgb), 1);
  });

  it('is hatched where the tone is, and plain where the tone is unknown', () => {
    const shades = (tone: number): number => {
      const view = renderView(two, { look: [0, 1, 0], longestPx: 130, toneAt: () => tone });
      const seen = new Set<number>();
      for (let i = 0; i < view.rgba.length; i += 4) if (view.rgba[i + 3] === 255) seen.add(view.rgba[i]);
      return seen.size;
    };
    expect(shades(TONE.cope)).toBe(1);
    expect(shades(TONE.held)).toBeGreaterThan(2);
    expect(shades(99)).toBe(1);
  });

  it('lets a line show in front of the surface and not behind it', () => {
    const line = (y: number): number => {
      const lines = [{ points: [2, y, 5, 8, y, 5], rgb: [255, 0, 0] as const, widthPx: 3 }];
      const view = renderView(box([0, 0, 0], [10, 10, 10]), { look: [0, 1, 0], longestPx: 100, lines });
      let red = 0;
      for (let i = 0; i < view.rgba.length; i += 4) if (view.rgba[i] === 255 && view.rgba[i + 1] === 0) red++;
      return red;
    };
    expect(line(0)).toBeGreaterThan(100);
    expect(line(10)).toBe(0);
  });
});

describe('what renderView refuses', () => {
  const mesh = box();
  it.each([
    ['bad-option', { lokk: [1, 0, 0] }],
    ['bad-number', { longestPx: 5 }],
    ['bad-number', { longestPx: 100.5 }],
    ['bad-number', { rim: 0.5 }],
    ['bad-direction', { look: [0, 0, 0] }],
    ['bad-direction', { look: [0, 0, 1], up: [0, 0, 2] }],
  ])('%s: %j', (code, options) => {
    let caught: unknown;
    try {
      renderView(mesh, options as object);
    } catch (error) {
      caught = error;
    }
    expect(isOddsideError(caught) && caught.code).toBe(code);
  });
});
