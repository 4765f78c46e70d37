/** Every way of the advice on the one laid pattern: for the small pictures that compare them, and for the viewer. */
import {
  cornerNormals,
  encodePicture,
  lookAlong,
  makeScene,
  renderView,
  type Picture,
  type Scene,
  type WayToShow,
} from '@oddside/card';
import { dot, startPacing, type TaskOptions, type Vec3 } from '@oddside/core';
import { castColumns, classifySurface, type PartingCandidate } from '@oddside/parting';
import type { Pattern } from '@oddside/pattern';
import { findCatches } from './find-catches.js';
import type { LaidPattern } from './lay-pattern.js';
import { toneOfClass } from './tone-of-class.js';

/** Columns across the shadow for telling what is held where in a small picture. */
const COLUMNS = 128;
/** Longest side of a small picture, pixels. */
const SMALL_PX = 240;

/** Draws the ways. The followed one, which may be the caller's own, comes first in the scene. */
export async function showWaysLaid(
  drawn: Pattern,
  { axes, shift }: Pick<LaidPattern, 'axes' | 'shift'>,
  followed: PartingCandidate,
  candidates: readonly PartingCandidate[],
  { signal }: TaskOptions,
): Promise<{ pictures: Picture[]; scene: Scene }> {
  const pacer = startPacing({ signal });
  const others = candidates.filter((candidate) => candidate.rank !== followed.rank);
  const ways: WayToShow[] = [];
  for (const { rank, direction, assessment } of [followed, ...others]) {
    const draw: Vec3 = [dot(axes[0], direction), dot(axes[1], direction), dot(axes[2], direction)];
    const jointHeight = assessment.flat.height - dot(draw, shift);
    const field = castColumns(drawn, draw, COLUMNS);
    const { codes } = classifySurface(drawn, field, { jointHeight });
    await pacer.step(0);
    const catches = findCatches(drawn, field, jointHeight);
    ways.push({ rank, draw, jointHeight, tones: Uint8Array.from(codes, toneOfClass), catches });
    await pacer.step(0);
  }
  const normals = cornerNormals(drawn.positions, drawn.triangles);
  const pictures: Picture[] = [];
  for (const { rank, draw, tones } of ways.filter((way) => way.rank > 0)) {
    await pacer.step(0);
    const pixels = renderView(drawn, {
      ...lookAlong(draw),
      longestPx: SMALL_PX,
      normals,
      toneAt: (_x, _y, _z, _nx, _ny, _nz, triangle) => tones[triangle],
    });
    const picture = {
      id: `way-${rank}`,
      title: `Way ${rank}`,
      alt: `The pattern laid in way ${rank}, seen from above and in front.`,
      tones: [...new Set(Array.from(tones))],
    };
    pictures.push(encodePicture(pixels, picture));
  }
  await pacer.step(0);
  return { pictures, scene: makeScene(drawn, { ways }) };
}
