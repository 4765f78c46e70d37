import { describe, expect, it } from 'vitest';
import { openSolids } from '@oddside/solids';
import { dropFilms } from '../../packages/solids/src/drop-films.js';
import { bunnyMesh, rescan } from '../helpers/scans.js';
import * as s from '../helpers/shapes.js';
import { soundVolume } from './solid-checks.js';

const plain = ({ positions, triangles }: s.Mesh): { points: Float32Array; triangles: Uint32Array } => ({
  points: Float32Array.from(positions),
  triangles,
});

/** Corners and triangles of a mesh that share corners, shell by shell. */
function shellsOf({ positions, triangles }: s.Mesh): number {
  const leader = Array.from({ length: positions.length / 3 }, (_, k) => k);
  const leaderOf = (k: number): number => (leader[k] === k ? k : (leader[k] = leaderOf(leader[k])));
  for (let k = 0; k < triangles.length; k++) {
    leader[leaderOf(triangles[k])] = leaderOf(triangles[k % 3 === 2 ? k - 2 : k + 1]);
  }
  return new Set(Array.from(triangles, leaderOf)).size;
}

describe('dropFilms', () => {
  const rounding = 5e-6;

  it('takes out shells without room in them, far from zero too, and leaves the rest as it was', () => {
    const film = s.box([90, 80, 3], [92, 81, 3 + 4e-6]);
    const mesh = plain(s.merge(s.box(), film, s.translate(s.box(), [5, 0, 0])));
    const left = dropFilms(mesh, rounding);
    expect(left.triangles).toHaveLength(72);
    expect(s.volumeOf({ positions: Float64Array.from(left.points), triangles: left.triangles })).toBeCloseTo(2, 6);
    expect(left.points).toHaveLength(48);
  });

  it('keeps small shells that have room, and spaces in the metal', () => {
    const hollow = s.turnOver(s.translate(s.scale(s.box(), 0.01), [0.2, 0.2, 0.2]));
    const mesh = plain(s.merge(s.box(), hollow));
    expect(dropFilms(mesh, rounding)).toBe(mesh);
    const one = plain(s.box());
    expect(dropFilms(one, rounding)).toBe(one);
  });

  it('a filled scan of noise is one shell, seed 7', async () => {
    const solids = await openSolids();
    const { positions, triangles } = bunnyMesh();
    const scan = rescan({ positions: positions.map((x) => 10 * x), triangles }, 2, 0.06, 7);
    const filled = await solids.fillBackDraft(s.asPattern(scan), [0.02, 0.31, 0.95], { printWall: 0, standSand: 0 });
    soundVolume(filled.pattern);
    expect(shellsOf(filled.pattern)).toBe(1);
  });
});
