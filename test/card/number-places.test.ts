import { renderMouldCard, type MouldCardJob } from '@oddside/card';
import { beforeAll, describe, expect, it } from 'vitest';
import { placeMarks, placesOf } from '../../packages/card/src/number-places.js';
import { planBracket } from './sample-job.js';

describe('places of the cures', () => {
  const sentence = 'Fill this place.';
  let job: MouldCardJob;
  beforeAll(async () => {
    const remedies: MouldCardJob['remedies'] = [
      { kind: 'joint', sentence: 'Step the joint.', laidAt: null },
      { kind: 'core', sentence, laidAt: [12, 3, 4] },
      { kind: 'fill', sentence, laidAt: [12, 3, 4] },
      { kind: 'fill', sentence, laidAt: [-5, 6, 0] },
      { kind: 'turn', sentence: 'Turn it.' },
    ];
    job = { ...(await planBracket()), remedies };
  });

  it('share a number where they are the same, and have none where they are everywhere', () => {
    expect(placesOf(job)).toEqual([
      [12, 3, 4],
      [-5, 6, 0],
    ]);
    const said = [...renderMouldCard(job).matchAll(/<strong>Place (\d)\.<\/strong>/g)].map(([, number]) => number);
    expect(said).toEqual(['1', '1', '2']);
  });

  it('are marked from above and, mirrored, from below, and nowhere else', () => {
    const centres = job.pictures.map((picture) => {
      const { html } = placeMarks(picture, placesOf(job));
      return [picture.id, [...html.matchAll(/cx="([^"]+)"\s+cy="([^"]+)"/g)].map(([, x, y]) => [Number(x), Number(y)])];
    });
    const marked = centres.filter(([, found]) => found!.length > 0);
    expect(marked).toEqual([
      [
        'from-cope',
        [
          [12, -3],
          [-5, -6],
        ],
      ],
      [
        'from-drag',
        [
          [-12, -3],
          [5, -6],
        ],
      ],
    ]);
  });
});
