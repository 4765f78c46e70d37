/** Few colours for a picture of flat tones: a palette makes its file little more than half as large. */

/** A picture as places in a palette. */
export interface Paletted {
  /** Red, green, blue, opacity, 0–255; those that are not opaque come first. */
  readonly palette: [number, number, number, number][];
  /** One place in the palette a pixel. */
  readonly data: Uint8Array;
}

const MOST = 256;

/**
 * Up to 256 colours, each picked as the one that the picture misses most: frequent, and far from those picked so far. Every
 * pixel takes the nearest. With 256 colours or fewer nothing is lost; otherwise what gives way a little are the mixed pixels
 * along edges. Cost: one pass, and 256 comparisons for each colour there is.
 */
export function pickPalette(rgba: Uint8Array): Paletted {
  const counts = new Map<number, number>();
  for (let i = 0; i < rgba.length; i += 4) {
    const key = keyAt(rgba, i);
    counts.set(key, (counts.get(key) ?? 0) + 1);
  }
  const all = [...counts].map(([key, count]) => ({ key, count, colour: colourOf(key), far: Infinity, nearest: 0 }));
  all.sort((a, b) => b.count - a.count || a.key - b.key);
  const picked: (typeof all)[number][] = [];
  while (picked.length < Math.min(MOST, all.length)) {
    let next = all[0];
    for (const each of all) if (each.far * each.count > next.far * next.count) next = each;
    for (const each of all) {
      const far = apart(each.colour, next.colour);
      if (far >= each.far) continue;
      each.far = far;
      each.nearest = picked.length;
    }
    picked.push(next);
  }
  // A PNG lists opacities for the first colours of its palette only, so the see-through ones come first.
  const order = picked.map((_, i) => i).sort((a, b) => Number(opaque(picked[a])) - Number(opaque(picked[b])) || a - b);
  const placeOf = new Uint8Array(MOST);
  for (const [place, i] of order.entries()) placeOf[i] = place;
  const places = new Map(all.map(({ key, nearest }) => [key, placeOf[nearest]]));
  const data = new Uint8Array(rgba.length / 4);
  for (let i = 0; i < data.length; i++) data[i] = places.get(keyAt(rgba, i * 4))!;
  return { palette: order.map((i) => picked[i].colour), data };
}

const keyAt = (rgba: Uint8Array, i: number): number =>
  rgba[i + 3] * 2 ** 24 + rgba[i + 2] * 2 ** 16 + rgba[i + 1] * 2 ** 8 + rgba[i];

const opaque = ({ colour }: { readonly colour: readonly number[] }): boolean => colour[3] === 255;

const colourOf = (key: number): [number, number, number, number] => [
  key % 256,
  Math.floor(key / 2 ** 8) % 256,
  Math.floor(key / 2 ** 16) % 256,
  Math.floor(key / 2 ** 24),
];

/** How different two colours look, squared. An edge that turns more or less see-through shows more than one a shade off. */
const apart = ([r, g, b, a]: readonly number[], [pr, pg, pb, pa]: readonly number[]): number =>
  (pr - r) ** 2 + (pg - g) ** 2 + (pb - b) ** 2 + 4 * (pa - a) ** 2;
