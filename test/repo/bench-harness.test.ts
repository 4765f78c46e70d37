import { describe, expect, it } from 'vitest';
import { loadShapes, measure, peerName, processorName, summarise, type Case } from '../../bench/harness.mjs';
import * as shapes from '../helpers/shapes.js';

const base = {
  name: 'adding up',
  prepare: () => [1, 2, 3],
  ours: (list: number[]) => list.reduce((a, b) => a + b, 0),
  same: (ours: number) => ours === 6,
  rounds: 3,
};

describe('measure', () => {
  it('passes a case whose results agree and that asks for no speed', async () => {
    const outcome = await measure({ ...base, peer: 'a loop', theirs: () => 6, same: (a, b) => a === b });
    expect(outcome).toMatchObject({ verdict: 'ok', difference: '', peer: 'a loop', sink: [6, 6] });
    expect(outcome.ours.samples).toBe(3);
    expect(outcome.theirs?.samples).toBe(3);
    expect(outcome.ratio).toBe((outcome.theirs?.medianMs ?? 0) / outcome.ours.medianMs);
  });

  it('waits for what is asynchronous', async () => {
    const outcome = await measure({ ...base, prepare: async () => [1, 2, 3], ours: async () => Promise.resolve(6) });
    expect(outcome).toMatchObject({ verdict: 'ok', sink: [6] });
  });

  it('calls out results that differ, with the case’s own words where it has them', async () => {
    const theirs = (): number => 7;
    expect(await measure({ ...base, theirs, same: (a, b) => a === b })).toMatchObject({
      verdict: 'DIFFERS',
      difference: 'the results differ',
    });
    expect(await measure({ ...base, theirs, same: (a, b) => `${a} is not ${b}` })).toMatchObject({
      verdict: 'DIFFERS',
      difference: '6 is not 7',
    });
  });

  it.each<[string, Partial<Case>]>([
    ['a ratio nobody reaches', { theirs: () => 6, atLeast: 1e12 }],
    ['a ratio without a peer to make it with', { atLeast: 1e-12 }],
    ['a time nobody keeps', { atMostMs: 0 }],
  ])('misses %s', async (_name, asked) => {
    expect(await measure({ ...base, ...asked })).toMatchObject({ verdict: 'MISSED', difference: '' });
  });

  it('prepares once and runs both sides on the same subject, each first every other round', async () => {
    const seen: string[] = [];
    const subjects = new Set<unknown>();
    let prepared = 0;
    // Each call seems to take long, so that one call makes a sample.
    const busy = (who: string) => (subject: unknown) => {
      seen.push(who);
      subjects.add(subject);
      const until = performance.now() + 6;
      while (performance.now() < until);
    };
    const prepare = (): object => {
      prepared++;
      return {};
    };
    await measure({ name: 'x', prepare, ours: busy('a'), theirs: busy('b'), same: () => true, rounds: 4 });
    expect(prepared).toBe(1);
    expect(subjects.size).toBe(1);
    expect(seen.slice(-8).join('')).toBe('abbaabba');
  });
});

describe('summarise', () => {
  it('gives median, best and the middle half, whatever the order', () => {
    const times = summarise([5, 1, 4, 2, 3]);
    expect(times).toEqual({ medianMs: 3, minMs: 1, spread: 2 / 3, samples: 5 });
    expect(summarise([4, 2]).medianMs).toBe(3);
  });
});

describe('what cases need', () => {
  it('the same solids as the tests', async () => {
    const loaded = await loadShapes();
    expect(Object.keys(loaded).sort()).toEqual([...Object.keys(shapes), 'bunnyMesh', 'rescan', 'snowdenMesh'].sort());
    expect(loaded.volumeOf(loaded.pinnedStairs())).toBeCloseTo(23, 10);
    expect(loaded.bunnyMesh().triangles.length).toBe(3 * 3674);
  });

  it('the peer’s installed version, or an error that names it', () => {
    expect(peerName('three-mesh-bvh')).toMatch(/^three-mesh-bvh \d+\.\d+\.\d+$/);
    expect(() => peerName('no-such-peer')).toThrow('no-such-peer');
  });

  it('a processor name that is a file name', () => expect(processorName()).toMatch(/^[a-z0-9]+(-[a-z0-9]+)*-cores$/));
});
