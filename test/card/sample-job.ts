/** Whole jobs to make cards from. The objects are invented. */
import { draftMap, encodePicture, lookAlong, makeScene, renderView, TONE, type WayToShow } from '@oddside/card';
import type { Vec3 } from '@oddside/core';
import { castColumns, classifySurface, sectionAtHeight } from '@oddside/parting';
import { planCasting, type CastingJob, type PlanCastingOptions } from 'oddside';
import { findCatches } from '../../packages/oddside/src/find-catches.js';
import { toneOfClass } from '../../packages/oddside/src/tone-of-class.js';
import { asPattern, boxesUnion, span, type Mesh } from '../helpers/shapes.js';

/** A stepped lamp bracket whose arm overhangs, so that some sand is held whichever way it lies. */
export function bracket(): Mesh {
  return boxesUnion(
    [span([0, 60], [0, 30], [0, 8]), span([0, 10], [0, 30], [8, 30]), span([10, 24], [8, 22], [24, 30])],
    [span([24, 50], [10, 20], [-1, 4])],
  );
}

/** A quick plan of the bracket: few draws, coarse columns, small pictures. */
export function planBracket(options: Partial<PlanCastingOptions> & { name?: string } = {}): Promise<CastingJob> {
  const { name = 'lamp bracket', ...rest } = options;
  const few = { alloy: 'bz95_5', samples: 60, columns: 64, candidates: 3, picturePx: 160 };
  return planCasting(asPattern(bracket(), name), { ...few, ...rest });
}

/** A job with everything a card can show: a scene of two ways, a section, maps of draft, pictures of the candidates. */
export function withEverything(job: CastingJob): CastingJob {
  const { laid } = job;
  const wayAlong = (rank: number, draw: Vec3, jointHeight: number): WayToShow => {
    const field = castColumns(laid, draw, 128);
    const { codes } = classifySurface(laid, field, { jointHeight });
    const tones = Uint8Array.from(codes, toneOfClass);
    return { rank, draw, jointHeight, tones, catches: findCatches(laid, field, jointHeight) };
  };
  const ways = [wayAlong(job.mould.candidate.rank, [0, 0, 1], 0), wayAlong(2, [0, 1, 0], 0)];
  const map = draftMap(2);
  const draft = renderView(laid, { longestPx: 160, palette: map.palette, toneAt: map.toneAt });
  const about = { id: 'draft', title: 'Draft.', alt: 'A map of draft.', tones: [0, 4], legend: map.palette };
  const thumbs = job.advice.candidates.map(({ rank, direction }) =>
    encodePicture(renderView(job.pattern, { ...lookAlong(direction), longestPx: 80 }), {
      id: `way-${rank}`,
      title: `Way ${rank}`,
      alt: `The pattern laid in way ${rank}.`,
      tones: [TONE.plain],
    }),
  );
  return {
    ...job,
    pictures: [...job.pictures.filter(({ id }) => !/^(way|draft)/.test(id)), encodePicture(draft, about), ...thumbs],
    scene: makeScene(laid, { ways }),
    section: { loops: sectionAtHeight(laid, [0, 1, 0], 0).loops.map(({ points }) => ({ points: [...points] })) },
  };
}
