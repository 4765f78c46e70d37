import { describe, expect, it, vi } from 'vitest';
import { openSolids } from '@oddside/solids';
import type { Kernel } from '../../packages/solids/src/kernel.js';
import { keepKernel, loadKernel, sharedKernel } from '../../packages/solids/src/open-kernel.js';
import { openWith } from '../../packages/solids/src/open-solids.js';
import { inScope } from '../../packages/solids/src/own-bodies.js';
import { asPattern, box } from '../helpers/shapes.js';

describe('opening the kernel', () => {
  it('gives one instance to concurrent and later calls', async () => {
    const load = vi.fn(() => loadKernel());
    const keeper = keepKernel(load);
    const [a, b] = await Promise.all([keeper.open(), keeper.open()]);
    expect(a).toBe(b);
    expect(await keeper.open()).toBe(a);
    expect(load).toHaveBeenCalledTimes(1);
    // Bodies of two openings mix, which they do not between two instances.
    const { Manifold } = a;
    const [p, q] = [Manifold.cube([1, 1, 1]), (await keeper.open()).Manifold.cube([1, 1, 1])];
    const sum = p.add(q.translate([0.5, 0, 0]));
    expect(sum.volume()).toBeCloseTo(1.5, 12);
    for (const body of [p, q, sum]) body.delete();
  });

  it('tries again after a failure, and after the kernel was dropped', async () => {
    const kernel = await sharedKernel.open();
    const load = vi.fn<() => Promise<Kernel>>().mockRejectedValueOnce(new Error('once')).mockResolvedValue(kernel);
    const keeper = keepKernel(load);
    await expect(keeper.open()).rejects.toThrow('once');
    expect(await keeper.open()).toBe(kernel);
    keeper.drop(kernel);
    await keeper.open();
    expect(load).toHaveBeenCalledTimes(3);
  });

  it('names the command that installs a missing kernel', async () => {
    const missing = loadKernel(() => Promise.reject(new Error('Cannot find package')));
    await expect(missing).rejects.toMatchObject({
      code: 'missing-engine',
      message: expect.stringContaining('npm install manifold-3d') as string,
      cause: expect.any(Error) as Error,
    });
  });

  it('drops a kernel that ran out of memory, says so, and opens a fresh one', async () => {
    const good = await sharedKernel.open();
    const broken: Kernel = {
      Mesh: good.Mesh,
      CrossSection: good.CrossSection,
      triangulate: good.triangulate,
      Manifold: {
        ...good.Manifold,
        ofMesh: () => {
          throw new WebAssembly.RuntimeError('memory access out of bounds');
        },
      },
    };
    const load = vi.fn<() => Promise<Kernel>>().mockResolvedValueOnce(broken).mockResolvedValue(good);
    const keeper = keepKernel(load);
    const solids = await openWith(keeper);
    await expect(solids.fillBackDraft(asPattern(box()), [0, 0, 1])).rejects.toMatchObject({ code: 'infeasible' });
    expect(await keeper.open()).toBe(good);
  });

  it('refuses work after it was disposed of, and not before', async () => {
    const [one, two] = await Promise.all([openSolids(), openSolids()]);
    one.dispose();
    one.dispose();
    await expect(one.makeSolid(asPattern(box()))).rejects.toMatchObject({ code: 'infeasible' });
    expect((await two.makeSolid(asPattern(box()))).volumeMm3).toBeCloseTo(1, 12);
  });
});

describe('a scope', () => {
  it('frees all it owns when its task ends, also when it throws', async () => {
    const kernel = await sharedKernel.open();
    const freed: string[] = [];
    const thing = (name: string): { delete(): void } => ({ delete: () => freed.push(name) });
    await inScope(kernel, async (scope) => {
      scope.own(thing('a'));
      scope.free(scope.own(thing('b')));
      expect(freed).toEqual(['b']);
      expect(scope.count).toBe(1);
    });
    const failing = inScope(kernel, async (scope) => {
      scope.own(thing('c'));
      throw new Error('on purpose');
    });
    await expect(failing).rejects.toThrow('on purpose');
    expect(freed).toEqual(['b', 'a', 'c']);
  });
});

describe('what comes in', () => {
  it.each([
    ['inside out', { ...box(), triangles: box().triangles.toReversed() }, 'inward'],
    ['open', { ...box(), triangles: box().triangles.slice(3) }, 'open'],
    ['not a number', { ...box(), positions: box().positions.map((c, i) => (i === 4 ? NaN : c)) }, 'usable number'],
  ])('%s is refused in plain words', async (_, mesh, words) => {
    const solids = await openSolids();
    await expect(solids.proveDraw(asPattern(mesh), [0, 0, 1])).rejects.toMatchObject({
      code: 'bad-pattern',
      message: expect.stringContaining(words) as string,
    });
  });

  it('an option that is not known, a draw of no length, and an abort are refused', async () => {
    const solids = await openSolids();
    const pattern = asPattern(box());
    const unknown = { stepz: 2 } as object;
    await expect(solids.proveDraw(pattern, [0, 0, 1], unknown)).rejects.toMatchObject({ code: 'bad-option' });
    await expect(solids.proveDraw(pattern, [0, 0, 0])).rejects.toMatchObject({ code: 'bad-direction' });
    const joint = { kind: 'tilted', point: [0, 0, 0], normal: [1, 0, 0] } as const;
    await expect(solids.proveDraw(pattern, [0, 0, 1], { joint })).rejects.toMatchObject({ code: 'bad-direction' });
    const signal = AbortSignal.abort(new Error('stop'));
    await expect(solids.fillBackDraft(pattern, [0, 0, 1], { signal })).rejects.toThrow('stop');
  });

  it('is never changed', async () => {
    const solids = await openSolids();
    const mesh = box();
    const pattern = Object.freeze(asPattern(mesh));
    const before = [mesh.positions.slice(), mesh.triangles.slice()];
    await solids.fillBackDraft(pattern, [1, 2, 3], { joint: { kind: 'level', height: 0.2 } });
    expect([mesh.positions, mesh.triangles]).toEqual(before);
  });
});
