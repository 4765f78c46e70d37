/**
 * Owning what the kernel allocates. A scope frees everything made in it when it ends, whichever way it ends: the kernel's
 * memory is not seen by the garbage collector, and a body left behind is lost until the process ends.
 */
import { OddsideError } from '@oddside/core';
import type { Body, Deletable, Kernel } from './kernel.js';

/** Makes bodies, checks that the kernel made them well, and owns them. */
export interface Scope {
  readonly kernel: Kernel;
  /** Takes charge of an object and returns it. */
  own<T extends Deletable>(object: T): T;
  /** Frees an object before the scope ends, to keep the peak of memory low. */
  free(object: Deletable | null): void;
  unite(bodies: readonly Body[]): Body;
  /** What is in `from` and not in `tool`. */
  cut(from: Body, tool: Body): Body;
  /** What is in both. */
  meet(a: Body, b: Body): Body;
  /** What is in both `from` and `tool`, and what is in `from` only: {@link meet} and {@link cut} for little more than one. */
  part(from: Body, tool: Body): { readonly both: Body; readonly rest: Body };
  move(body: Body, by: readonly [number, number, number]): Body;
  /** The part on the side that the normal points to, beyond `offset` along it. */
  trim(body: Body, normal: readonly [number, number, number], offset: number): Body;
  /** How many objects the scope owns now. */
  readonly count: number;
}

/** Runs a task in a scope and frees everything at its end. Scopes may lie in one another. */
export async function inScope<T>(kernel: Kernel, task: (scope: Scope) => Promise<T>): Promise<T> {
  const { scope, close } = openScope(kernel);
  try {
    return await task(scope);
  } finally {
    close();
  }
}

/** A scope for work that goes on from question to question. Whoever opens it closes it, which frees everything. */
export function openScope(kernel: Kernel): { readonly scope: Scope; readonly close: () => void } {
  const owned = new Set<Deletable>();
  return {
    scope: makeScope(kernel, owned),
    close: () => {
      for (const object of owned) object.delete();
      owned.clear();
    },
  };
}

function makeScope(kernel: Kernel, owned: Set<Deletable>): Scope {
  const own = <T extends Deletable>(object: T): T => {
    owned.add(object);
    return object;
  };
  // The kernel works lazily; asking for the status makes it work now, where a failure can still be told from the next.
  const made = (body: Body, what: string): Body => {
    own(body);
    const status = body.status();
    if (status !== 'NoError') throw kernelError(status, what);
    return body;
  };
  return {
    kernel,
    own,
    free(object) {
      if (object && owned.delete(object)) object.delete();
    },
    unite(bodies) {
      return bodies.length === 1 ? bodies[0] : made(kernel.Manifold.union(bodies), 'uniting solids');
    },
    cut: (from, tool) => made(from.subtract(tool), 'cutting one solid from another'),
    meet: (a, b) => made(a.intersect(b), 'taking what two solids share'),
    part(from, tool) {
      const [both, rest] = from.split(tool);
      own(rest);
      return { both: made(both, 'taking what two solids share'), rest: made(rest, 'cutting one solid from another') };
    },
    move: (body, by) => made(body.translate(by), 'moving a solid'),
    trim: (body, normal, offset) => made(body.trimByPlane(normal, offset), 'cutting a solid along a plane'),
    get count() {
      return owned.size;
    },
  };
}

const MEANINGS: Readonly<Record<string, string>> = {
  NonFiniteVertex: 'a corner is not a finite number',
  NotManifold: 'the surface is open, or its faces do not all agree which side is out',
  VertexOutOfBounds: 'a triangle names a corner that does not exist',
  ResultTooLarge: 'the result would have more corners than the kernel can count',
};

/** The kernel's status as our error: `bad-pattern` for what is wrong with a mesh, `infeasible` for the rest. */
export function kernelError(status: string, what: string, cause?: unknown): OddsideError {
  const wrongMesh = ['NonFiniteVertex', 'NotManifold', 'VertexOutOfBounds'].includes(status);
  const why = MEANINGS[status] ?? `the kernel answered ${status}`;
  const advice = wrongMesh ? 'Inspect and mend the pattern first.' : 'Try again with a coarser or smaller pattern.';
  return new OddsideError(
    wrongMesh ? 'bad-pattern' : 'infeasible',
    `A closed solid was expected, but ${what} failed: ${why}. ${advice}`,
    { status },
    { cause },
  );
}

/** The status inside an error that the kernel threw, or `null` when it is something else. */
export function statusOf(error: unknown): string | null {
  const code = (error as { code?: unknown } | null)?.code;
  return (error as Error | null)?.name === 'ManifoldError' && typeof code === 'string' ? code : null;
}
