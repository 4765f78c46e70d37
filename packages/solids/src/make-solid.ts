/**
 * One sound solid from a pattern of several shells: bodies that overlap become one, spaces shut in stay spaces. The kernel
 * unites different bodies exactly; a shell that cuts itself it takes as it is, which is said.
 */
import { formatVolume, resolveOptions, startPacing, type Finding, type TaskOptions } from '@oddside/core';
import { NO_SHELL, checkPattern, labelShells, listEdges, type Pattern } from '@oddside/pattern';
import { bodyOfArrays, patternOf } from './convert-body.js';
import { frameMesh, makeFrame, type FramedMesh } from './draw-frame.js';
import type { Body, Kernel } from './kernel.js';
import { inScope, type Scope } from './own-bodies.js';

/** What `makeSolid` takes. */
export type MakeSolidOptions = TaskOptions;

/** Defaults of `makeSolid`. */
export const MAKE_SOLID_DEFAULTS: MakeSolidOptions = Object.freeze({ signal: undefined, onProgress: undefined });

/** One sound solid. */
export interface SolidMade {
  readonly pattern: Pattern;
  /** Volume of the solid, mm³. */
  readonly volumeMm3: number;
  /** That less the volume that the faces of the pattern enclosed, overlaps counted as often as they lie over each other. */
  readonly volumeChangeMm3: number;
  /** Shells that came, and separate bodies that are left. */
  readonly shells: number;
  readonly bodies: number;
  readonly findings: readonly Finding[];
}

interface Shell {
  readonly body: Body;
  readonly volume: number;
}

/** See {@link SolidMade}. @throws OddsideError `bad-pattern` where a shell is open or the whole is inside out. */
export async function makeSolid(
  kernel: Kernel,
  pattern: Pattern,
  given?: Partial<MakeSolidOptions>,
): Promise<SolidMade> {
  const options = resolveOptions('makeSolid', MAKE_SOLID_DEFAULTS, given);
  checkPattern(pattern);
  const pacer = startPacing(options);
  return inScope(kernel, async (scope) => {
    const frame = makeFrame(pattern, [0, 0, 1]);
    const mesh = frameMesh(frame, pattern);
    const shells = shellBodies(scope, mesh);
    await pacer.step(0.4);
    const before = shells.reduce((sum, shell) => sum + shell.volume, 0);
    const solid = scope.unite(hollowOut(scope, shells));
    const volumeMm3 = solid.volume();
    await pacer.step(0.8);
    const parts = solid.decompose().map((part) => scope.own(part));
    const bodies = parts.filter((part) => part.volume() > 0).length;
    const result: SolidMade = {
      pattern: { ...patternOf(frame, solid, pattern.name), unit: pattern.unit },
      volumeMm3,
      volumeChangeMm3: volumeMm3 - before,
      shells: shells.length,
      bodies,
      findings: shells.length > bodies ? [united(shells.length, bodies, volumeMm3 - before)] : [],
    };
    pacer.finish();
    return result;
  });
}

function shellBodies(scope: Scope, mesh: FramedMesh): Shell[] {
  const { triangles, points } = mesh;
  const { count, ofTriangle } = labelShells(triangles, listEdges(triangles, points.length / 3));
  const lists: number[][] = Array.from({ length: count }, () => []);
  for (let t = 0; t < ofTriangle.length; t++) {
    if (ofTriangle[t] !== NO_SHELL)
      lists[ofTriangle[t]].push(triangles[3 * t], triangles[3 * t + 1], triangles[3 * t + 2]);
  }
  return lists.map((list) => {
    const { corners, numbers } = compact(points, list);
    const body = bodyOfArrays(scope, corners, numbers, 'A shell of the pattern');
    return { body, volume: body.volume() };
  });
}

/** Only the corners that a list of triangles uses. */
function compact(points: Float32Array, list: readonly number[]): { corners: Float32Array; numbers: Uint32Array } {
  const numberOf = new Map<number, number>();
  const numbers = Uint32Array.from(list, (old) => {
    const known = numberOf.get(old);
    if (known !== undefined) return known;
    numberOf.set(old, numberOf.size);
    return numberOf.size - 1;
  });
  const corners = new Float32Array(numberOf.size * 3);
  for (const [old, number] of numberOf) corners.set(points.subarray(3 * old, 3 * old + 3), 3 * number);
  return { corners, numbers };
}

/**
 * The outward shells, each less the inward ones that lie in it. An inward shell belongs to the smallest outward one round
 * it, so that a body lying loose in the space of another stays.
 */
function hollowOut(scope: Scope, shells: readonly Shell[]): Body[] {
  const outward = shells.filter(({ volume }) => volume >= 0).sort((a, b) => a.volume - b.volume);
  const bodies = outward.map(({ body }) => body);
  for (const { body, volume } of shells.filter((shell) => shell.volume < 0)) {
    const space = turnedOut(scope, body);
    const k = outward.findIndex((shell) => shell.volume >= -volume && holds(shell.body, space));
    if (k >= 0) bodies[k] = scope.cut(bodies[k], space);
    // An inward shell that nothing holds encloses metal with its faces turned in: taken as if turned out.
    else bodies.push(space);
  }
  return bodies;
}

function turnedOut(scope: Scope, body: Body): Body {
  const mesh = body.getMesh();
  const triangles = mesh.triVerts.slice();
  for (let i = 0; i < triangles.length; i += 3) {
    [triangles[i + 1], triangles[i + 2]] = [triangles[i + 2], triangles[i + 1]];
  }
  return bodyOfArrays(scope, mesh.vertProperties, triangles, 'A space in the pattern');
}

function holds(outer: Body, inner: Body): boolean {
  const [a, b] = [outer.boundingBox(), inner.boundingBox()];
  return [0, 1, 2].every((k) => a.min[k] <= b.min[k] && a.max[k] >= b.max[k]);
}

function united(shells: number, bodies: number, change: number): Finding {
  const less = change < 0 ? 'smaller' : 'larger';
  return {
    code: 'shells-united',
    severity: 'note',
    message: `${shells} shells became ${bodies === 1 ? 'one body' : `${bodies} bodies`}; the volume is ${formatVolume(Math.abs(change))} ${less} than the sum of the shells.`,
    remedy: 'Compare the solid with the pattern before relying on it.',
  };
}
