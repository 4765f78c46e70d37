/** The pictures of the mould card: the pattern as it lies, coloured by which half of the mould it leaves with. */
import {
  cornerNormals,
  draftMap,
  encodePicture,
  renderViewInPieces,
  TONE,
  TONES,
  type Picture,
  type RenderViewOptions,
  type Tone,
  type ToneAt,
  type ViewLine,
} from '@oddside/card';
import { startPacing, type TaskOptions } from '@oddside/core';
import type { PartingLine } from '@oddside/parting';
import type { Pattern } from '@oddside/pattern';
import { tonePlaces } from './tone-places.js';

const INK = Object.freeze([22, 24, 29] as const);

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

/** Directions of the two draft maps: from above, and from below. */
const DRAFT_SHOTS: readonly Shot[] = Object.freeze([
  {
    id: 'draft',
    title: 'Draft, seen from above: the darker, the shorter of what is asked.',
    alt: 'A map of draft on the pattern from above and in front; darker is shorter of draft.',
    view: { look: [-0.42, 0.78, -0.46], up: [0, 0, 1] },
  },
  {
    id: 'draft-under',
    title: 'Draft, seen from below.',
    alt: 'A map of draft on the pattern from below and in front; darker is shorter of draft.',
    view: { look: [-0.42, 0.78, 0.46], up: [0, 0, 1] },
  },
]);

const SHOTS_IN_ALL = SHOTS.length + DRAFT_SHOTS.length;

/** What the pictures show. */
export interface PictureSubject {
  /** The pattern as it lies: joint at height 0, cope drawn along +z. */
  readonly laid: Pattern;
  readonly line: PartingLine;
  /** Draft asked for, degrees; 0 draws no map of draft. */
  readonly requiredDraftDeg: number;
}

/** Takes the pictures of a laid pattern. About 0.1 s each at 640 pixels. */
export async function takePictures(subject: PictureSubject, longestPx: number, task: TaskOptions): Promise<Picture[]> {
  const { laid, requiredDraftDeg } = subject;
  const pacer = startPacing({ signal: task.signal });
  const halfAt = tonePlaces(laid);
  await pacer.step(0);
  const normals = cornerNormals(laid.positions, laid.triangles);
  await pacer.step(0);
  const lines = [...jointLines(laid), ...partingLines(subject.line)];
  const pictures: Picture[] = [];
  const take = async (
    shot: Shot,
    tones: ToneAt,
    more: Partial<RenderViewOptions>,
    legend?: readonly Tone[],
  ): Promise<void> => {
    const seen = new Uint8Array(legend?.length ?? TONES.length);
    const toneAt: ToneAt = (x, y, z, nx, ny, nz, triangle) => {
      const tone = tones(x, y, z, nx, ny, nz, triangle);
      seen[tone] = 1;
      return tone;
    };
    const { view, ...about } = shot;
    const pixels = await renderViewInPieces(laid, {
      ...view,
      ...more,
      longestPx,
      toneAt,
      normals,
      signal: task.signal,
    });
    await pacer.step(pictures.length / SHOTS_IN_ALL);
    const used = Array.from(seen.keys()).filter((tone) => seen[tone] === 1);
    pictures.push(encodePicture(pixels, { ...about, tones: used, legend }));
  };
  for (const shot of SHOTS) {
    await take(shot, halfAt, { lines });
    await pacer.step(pictures.length / SHOTS_IN_ALL);
  }
  if (requiredDraftDeg === 0) return pictures;
  const map = draftMap(
    requiredDraftDeg,
    (x, y, z, nx, ny, nz, triangle) => halfAt(x, y, z, nx, ny, nz, triangle) === TONE.held,
  );
  for (const shot of DRAFT_SHOTS) {
    await take(shot, map.toneAt, { palette: map.palette }, map.palette);
    await pacer.step(pictures.length / SHOTS_IN_ALL);
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
