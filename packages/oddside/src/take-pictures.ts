/** The pictures of the mould card: the pattern as it lies, coloured by which half of the mould it leaves with. */
import { encodePicture, renderView, TONE, type Picture, type RenderViewOptions, type ViewLine } from '@oddside/card';
import { startPacing, type TaskOptions } from '@oddside/core';
import { castColumns, classifySurface, SURFACE_CLASS, surfaceClassAt, type PartingLine } from '@oddside/parting';
import type { Pattern } from '@oddside/pattern';

/** Columns across the shadow for telling what is held where. */
const CLASS_COLUMNS = 512;
const INK = Object.freeze([22, 24, 29] as const);

/** Tone of each surface class, by its code. */
const TONE_OF_CLASS: readonly number[] = (() => {
  const tones = Array.from<number>({ length: Object.keys(SURFACE_CLASS).length }).fill(TONE.plain);
  tones[SURFACE_CLASS.cope] = TONE.cope;
  tones[SURFACE_CLASS.wallCope] = TONE.cope;
  tones[SURFACE_CLASS.drag] = TONE.drag;
  tones[SURFACE_CLASS.wallDrag] = TONE.drag;
  tones[SURFACE_CLASS.wallFree] = TONE.either;
  tones[SURFACE_CLASS.wallHeld] = TONE.held;
  tones[SURFACE_CLASS.held] = TONE.held;
  tones[SURFACE_CLASS.wrongSide] = TONE.dig;
  return Object.freeze(tones);
})();

interface Shot {
  readonly id: string;
  readonly title: string;
  readonly alt: string;
  readonly view: Partial<RenderViewOptions>;
}

const SHOTS: readonly Shot[] = Object.freeze([
  {
    id: 'lying',
    title: 'As it lies, seen from above and in front; the thick line is the parting line, the thin one the flat joint.',
    alt: 'The pattern as it lies in the mould, seen from above and in front, with its joint drawn round it.',
    view: { look: [-0.42, 0.78, -0.46], up: [0, 0, 1] },
  },
  {
    id: 'side',
    title: 'From the side, with the joint and the depths in cope and drag.',
    alt: 'The pattern from the side, with the joint as a dashed line and its depths in cope and drag.',
    view: { look: [0, 1, 0], up: [0, 0, 1] },
  },
  {
    id: 'from-cope',
    title: 'From above, as the cope sees it.',
    alt: 'The pattern from straight above: the surface the cope moulds.',
    view: { look: [0, 0, -1], up: [0, 1, 0] },
  },
  {
    id: 'from-drag',
    title: 'From below, as the drag sees it.',
    alt: 'The pattern from straight below: the surface the drag moulds.',
    view: { look: [0, 0, 1], up: [0, 1, 0] },
  },
]);

/** Takes the pictures of a laid pattern (joint at height 0, cope drawn along +z). About 0.2 s each at 720 pixels. */
export async function takePictures(
  laid: Pattern,
  line: PartingLine,
  longestPx: number,
  task: TaskOptions = {},
): Promise<Picture[]> {
  const pacer = startPacing({ signal: task.signal });
  const field = castColumns(laid, [0, 0, 1], CLASS_COLUMNS);
  const { wallSines } = classifySurface(laid, field, { jointHeight: 0 });
  await pacer.step(0);
  const lines = [...jointLines(laid), ...partingLines(line)];
  const pictures: Picture[] = [];
  for (const { view, ...about } of SHOTS) {
    const seen = new Set<number>();
    const toneAt: RenderViewOptions['toneAt'] = (x, y, z, nx, ny, nz, triangle) => {
      const tone = TONE_OF_CLASS[surfaceClassAt(field, x, y, z, nx, ny, nz, 0, wallSines[triangle])];
      seen.add(tone);
      return tone;
    };
    const pixels = renderView(laid, { ...view, longestPx, toneAt, lines });
    pictures.push(encodePicture(pixels, { ...about, tones: [...seen] }));
    await pacer.step(pictures.length / SHOTS.length);
  }
  return pictures;
}

/** The parting line, closed. */
function partingLines(line: PartingLine): ViewLine[] {
  return line.loops.map(({ points }) => ({
    points: [...points, points[0], points[1], points[2]],
    rgb: INK,
    widthPx: 2.6,
  }));
}

/** Where the surface crosses the flat joint, one short line a triangle. */
function jointLines({ positions, triangles }: Pattern): ViewLine[] {
  const lines: ViewLine[] = [];
  for (let t = 0; t < triangles.length; t += 3) {
    const points: number[] = [];
    for (let k = 0; k < 3; k++) {
      const a = triangles[t + k] * 3;
      const b = triangles[t + ((k + 1) % 3)] * 3;
      const za = positions[a + 2];
      const zb = positions[b + 2];
      if (za < 0 === zb < 0) continue;
      const part = za / (za - zb);
      for (let j = 0; j < 3; j++) points.push(positions[a + j] + part * (positions[b + j] - positions[a + j]));
    }
    if (points.length === 6) lines.push({ points, rgb: INK, widthPx: 1 });
  }
  return lines;
}
