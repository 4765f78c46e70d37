/** Colours of the triangles for each map of the viewer. */
import { dot } from '@oddside/core';
import { draftMap } from '../src/draft-map.js';
import { heightBands, HEIGHT_TONES } from '../src/height-map.js';
import type { SceneMesh } from '../src/read-scene.js';
import { TONE, TONES, type Tone } from '../src/tones.js';
import { normalOf } from './measure.js';

/** The maps that can be chosen. */
export type MapName = 'halves' | 'draft' | 'heights';

/** A map: colours of the triangles and what they mean. */
export interface ColouredMap {
  readonly colours: Uint8Array;
  readonly legend: readonly Tone[];
}

/** Colours a scene for one way. */
export function colourScene(
  mesh: SceneMesh,
  way: SceneMesh['ways'][number],
  map: MapName,
  requiredDeg: number,
): ColouredMap {
  const count = mesh.triangles.length / 3;
  const tones = new Uint8Array(count);
  let palette = TONES;
  if (map === 'halves') tones.set(way.tones);
  else if (map === 'draft') {
    const made = draftMap(requiredDeg);
    palette = made.palette;
    for (let t = 0; t < count; t++) {
      const sine = dot(normalOf(mesh, t), way.draw);
      tones[t] =
        way.tones[t] === TONE.held
          ? palette.length - 1
          : made.toneAt(0, 0, 0, Math.sqrt(Math.max(0, 1 - sine * sine)), 0, sine, t);
    }
  } else {
    palette = HEIGHT_TONES;
    const { positions, triangles } = mesh;
    const heights = new Float64Array(count);
    for (let t = 0; t < count; t++) {
      for (let k = 0; k < 3; k++) {
        const c = triangles[t * 3 + k] * 3;
        heights[t] += dot([positions[c], positions[c + 1], positions[c + 2]], way.draw) / 3;
      }
      heights[t] -= way.jointHeight;
    }
    tones.set(heightBands(heights));
  }
  const colours = new Uint8Array(count * 3);
  for (let t = 0; t < count; t++) colours.set((palette[tones[t]] ?? palette[0]).rgb, t * 3);
  const used = new Set(tones);
  return { colours, legend: palette.filter((_, i) => used.has(i)) };
}
