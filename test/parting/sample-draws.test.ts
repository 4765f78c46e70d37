// Threads run the built package: a worker's file must be plain JavaScript.
import { advisePartings as adviseBuilt } from '../../packages/parting/dist/index.js';
import { dot, radians, startPacing } from '@oddside/core';
import { sketchPattern } from '@oddside/pattern';
import { describe, expect, it } from 'vitest';
import { ADVISE_PARTINGS_DEFAULTS } from '../../packages/parting/src/advise-options.js';
import { readySearch } from '../../packages/parting/src/ready-search.js';
import { openTrier } from '../../packages/parting/src/draw-trier.js';
import { sampleDraws, type SampledDraws } from '../../packages/parting/src/sample-draws.js';
import type { TriedDraw } from '../../packages/parting/src/try-draw.js';
import { bunnyMesh, snowdenMesh } from '../helpers/scans.js';
import * as s from '../helpers/shapes.js';

const APART_DEG = 20;

async function sample(mesh: s.Mesh, mayBeRough: boolean): Promise<SampledDraws> {
  const pattern = s.asPattern(mesh);
  const { rules } = readySearch('test', pattern, ADVISE_PARTINGS_DEFAULTS).judging;
  const likeness = await sketchPattern(pattern, { triangles: 6000 });
  const sampling = {
    samples: 600,
    searchColumns: 48,
    apartDeg: APART_DEG,
    wanted: 7,
    mayBeRough,
    threads: undefined,
    ruledOut: () => false,
  };
  return sampleDraws(likeness, openTrier(likeness, undefined), Promise.resolve([]), rules, sampling, startPacing());
}

/** The first so many starting points that are distinct. */
function distinct(starts: readonly TriedDraw[], count: number): TriedDraw[] {
  const kept: TriedDraw[] = [];
  for (const start of starts) {
    if (kept.length === count) break;
    const near = Math.cos(radians(APART_DEG));
    if (kept.every((other) => Math.abs(dot(other.direction, start.direction)) < near)) kept.push(start);
  }
  return kept;
}

describe('sampleDraws', () => {
  it('looks again at all that could become a candidate: the same starting points as looking closely everywhere', async () => {
    for (const mesh of [s.subdivide(bunnyMesh()), snowdenMesh('lo')]) {
      const [rough, all] = [await sample(mesh, true), await sample(mesh, false)];
      expect(rough.tried.length).toBe(606);
      expect(all.close.length).toBe(606);
      expect(rough.close.length).toBeLessThan(300);
      const [few, every] = [distinct(rough.starts, 5), distinct(all.starts, 5)];
      expect(few[0]).toEqual(every[0]);
      // A place further down may be given up for a neighbour, never for a poor one.
      for (let i = 0; i < 5; i++) expect(few[i].points).toBeLessThanOrEqual(1.1 * every[i].points);
      const least = (draws: readonly TriedDraw[]): number => Math.min(...draws.map((draw) => draw.backDraftMm3));
      expect(least(rough.close)).toBeLessThanOrEqual(1.01 * least(all.close));
    }
  });

  it('is the same bit for bit with threads, on a scan that is looked at roughly', async () => {
    const pattern = s.asPattern(s.subdivide(bunnyMesh()));
    const quick = { samples: 200, columns: 64, candidates: 2, joints: false };
    expect(await adviseBuilt(pattern, { ...quick, threads: 1 })).toEqual(await adviseBuilt(pattern, quick));
  });
});
