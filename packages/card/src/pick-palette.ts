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
  const keys = keysOf(rgba);
  const counts = countKeys(keys);
  const all = [...counts].sort(([a, m], [b, n]) => n - m || (a >>> 0) - (b >>> 0));
  const colours = all.map(([key]) => colourOf(key));
  const parts = Float64Array.from(colours.flat());
  const far = new Float64Array(all.length).fill(Infinity);
  const nearest = new Uint8Array(all.length);
  const picked: number[] = [];
  let next = 0;
  while (picked.length < Math.min(MOST, all.length)) {
    const place = picked.length;
    picked.push(next);
    const own = next;
    let most = -1;
    for (let i = 0; i < all.length; i++) {
      const apart = farApart(parts, i * 4, own * 4);
      if (apart < far[i]) {
        far[i] = apart;
        nearest[i] = place;
      }
      const missed = far[i] * all[i][1];
      if (missed > most) {
        most = missed;
        next = i;
      }
    }
  }
  // A PNG lists opacities for the first colours of its palette only, so the see-through ones come first.
  const order = picked
    .map((_, i) => i)
    .sort((i, j) => Number(opaque(colours[picked[i]])) - Number(opaque(colours[picked[j]])) || i - j);
  const placeOf = new Uint8Array(MOST);
  for (const [place, i] of order.entries()) placeOf[i] = place;
  const places = new Map(all.map(([key], i) => [key, placeOf[nearest[i]]]));
  const data = new Uint8Array(keys.length);
  for (let i = 0; i < data.length; i++) data[i] = i > 0 && keys[i] === keys[i - 1] ? data[i - 1] : places.get(keys[i])!;
  return { palette: order.map((i) => colours[picked[i]]), data };
}

/** Each pixel as one whole number that the engine keeps as such. */
function keysOf(rgba: Uint8Array): Int32Array {
  const keys = new Int32Array(rgba.length / 4);
  for (let i = 0, at = 0; i < keys.length; i++, at += 4) {
    keys[i] = (rgba[at + 3] << 24) | (rgba[at + 2] << 16) | (rgba[at + 1] << 8) | rgba[at];
  }
  return keys;
}

/** How many pixels have each key; runs of one key are counted together. */
function countKeys(keys: Int32Array): Map<number, number> {
  const counts = new Map<number, number>();
  for (let from = 0; from < keys.length;) {
    let to = from + 1;
    while (to < keys.length && keys[to] === keys[from]) to++;
    counts.set(keys[from], (counts.get(keys[from]) ?? 0) + to - from);
    from = to;
  }
  return counts;
}

const opaque = (colour: readonly number[]): boolean => colour[3] === 255;

const colourOf = (key: number): [number, number, number, number] => [
  key & 255,
  (key >>> 8) & 255,
  (key >>> 16) & 255,
  key >>> 24,
];

/** How different two colours look, squared. An edge that turns more or less see-through shows more than one a shade off. */
const farApart = (parts: Float64Array, i: number, j: number): number =>
  (parts[i] - parts[j]) ** 2 +
  (parts[i + 1] - parts[j + 1]) ** 2 +
  (parts[i + 2] - parts[j + 2]) ** 2 +
  4 * (parts[i + 3] - parts[j + 3]) ** 2;
