/**
 * One sound solid from a pattern: holes mended, bodies that overlap made one, spaces shut in left as spaces. The kernel
 * unites different bodies exactly. A shell that lies over itself, and a surface that will not close, it cannot; these get a
 * new skin at a stated resolution.
 */
import {
  OddsideError, partOfProgress, resolveOptions, startPacing, type Finding, type TaskOptions,
} from '@oddside/core'; // prettier-ignore
import {
  NO_SHELL, checkPattern, inspectPattern, inspectPatternFully, labelShells, listEdges, mendPattern, type Pattern,
} from '@oddside/pattern'; // prettier-ignore
import { STAND_SAND, THIN_WALL_DEFAULTS, checkThinWalls, checkWallLimits } from './check-thin-walls.js';
import { bodyOfArrays, patternOf } from './convert-body.js';
import { frameMesh, makeFrame, type FramedMesh } from './draw-frame.js';
import type { Body, Kernel } from './kernel.js';
import { inScope, type Scope } from './own-bodies.js';
import { remeshSolid, type NewSkin, type Remeshed } from './remesh-solid.js';
import * as say from './say-solid.js';
import { doubledVolume } from './vote-inside.js';

/** What `makeSolid` takes. */
export interface MakeSolidOptions extends TaskOptions {
  /**
   * When to lay a new skin over what is inside. `auto`: where a shell lies over itself, or the surface will not close by
   * mending. `never`: such a surface is an error, such a shell is taken as it is, with a finding. `always`. Default `auto`.
   */
  readonly remesh: 'auto' | 'never' | 'always';
  /** Width of the new skin's cells, mm: edges are rounded by up to one, thinner walls may be lost. Default: a 128th of the longest side. */
  readonly resolution: number | undefined;
  /** Walls of the solid thinner than this are told as too thin to print, mm; 0: not looked for. Default 1.2 (common practice, no source). */
  readonly printWall: number;
  /** Sand between its walls thinner than this is told as too thin to stand, mm; 0: not looked for. Default 3 (common practice, no source). */
  readonly standSand: number;
}

/** Defaults of `makeSolid`. */
export const MAKE_SOLID_DEFAULTS: MakeSolidOptions = Object.freeze({
  remesh: 'auto',
  resolution: undefined,
  printWall: THIN_WALL_DEFAULTS.printWall,
  standSand: STAND_SAND,
  signal: undefined,
  onProgress: undefined,
});

/** One sound solid. */
export interface SolidMade {
  readonly pattern: Pattern;
  /** Volume of the solid, mm³. */
  readonly volumeMm3: number;
  /**
   * That less the volume that the faces of the pattern (mended, where it had to be) enclosed, overlaps counted as often as
   * they lie over each other; `null` where it enclosed none because it would not close.
   */
  readonly volumeChangeMm3: number | null;
  /** Shells that came, and separate bodies that are left. */
  readonly shells: number;
  readonly bodies: number;
  /** The new skin, where one was laid over all or some of the pattern; its worst figures. */
  readonly remeshed: NewSkin | null;
  readonly findings: readonly Finding[];
}

interface Shell {
  readonly body: Body;
  readonly volume: number;
}

/** Of a shell's volume, what may lie over itself before it gets a new skin: less is lost in what a new skin costs. */
const DOUBLED_SHARE = 1e-4;

/**
 * See {@link SolidMade}. Cost: finding out whether the surface cuts itself, about 4 s for 870,000 triangles; new skins
 * about 2 µs a node of their grid.
 *
 * @throws OddsideError `bad-pattern` where the surface will not close and no new skin is allowed, `bad-option`, `bad-number`, `infeasible`.
 */
export async function makeSolid(
  kernel: Kernel,
  pattern: Pattern,
  given?: Partial<MakeSolidOptions>,
): Promise<SolidMade> {
  const options = resolveOptions('makeSolid', MAKE_SOLID_DEFAULTS, given);
  if (!['auto', 'never', 'always'].includes(options.remesh)) {
    throw new OddsideError(
      'bad-option',
      `remesh must be "auto", "never" or "always", but ${JSON.stringify(options.remesh)} came.`,
    );
  }
  checkWallLimits(options);
  checkPattern(pattern);
  const pacer = startPacing(options);
  const findings: Finding[] = [];
  const subject = await closed(pattern, options, findings);
  const { balanced } = inspectPattern(subject);
  const whole = options.remesh === 'always' || (options.remesh === 'auto' && !balanced);
  const cuts = await cutsByShell(subject, !whole, partOfProgress(options, 0.2, 0.4));
  await pacer.step(0.4);
  return inScope(kernel, async (scope) => {
    const frame = makeFrame(subject, [0, 0, 1]);
    const mesh = frameMesh(frame, subject);
    const skins: Remeshed[] = [];
    let before: number | null = null;
    let shells = cuts.shells;
    let solid: Body;
    if (whole) {
      skins.push(newSkin(scope, mesh, options.resolution));
      if (balanced) before = bodyVolume(scope, mesh);
      solid = skins[0].body;
    } else {
      const list = shellBodies(scope, mesh, cuts.ofShell, options, skins, findings);
      shells = list.length;
      before = list.reduce((sum, shell) => sum + shell.enclosed, 0);
      await pacer.step(0.6);
      solid = scope.unite(hollowOut(scope, list, findings));
    }
    const volumeMm3 = solid.volume();
    await pacer.step(0.8);
    const parts = solid.decompose().map((part) => scope.own(part));
    const bodies = parts.filter((part) => part.volume() > 0).length;
    const volumeChangeMm3 = before === null ? null : volumeMm3 - before;
    if (!whole && shells > bodies) findings.push(say.united(shells, bodies, volumeMm3 - before!));
    const remeshed = skins.length > 0 ? worstOf(skins) : null;
    if (remeshed) findings.push(say.newSkin(remeshed, whole, volumeChangeMm3));
    const made = { ...patternOf(frame, solid, pattern.name), unit: pattern.unit };
    const { printWall, standSand, signal } = options;
    findings.push(...(await checkThinWalls([made], { printWall, standSand, signal })));
    const result: SolidMade = {
      pattern: made,
      volumeMm3,
      volumeChangeMm3,
      shells,
      bodies,
      remeshed,
      findings,
    };
    pacer.finish();
    return result;
  });
}

/** The pattern itself where it encloses a volume; otherwise as far as mending closes it. */
async function closed(pattern: Pattern, options: MakeSolidOptions, findings: Finding[]): Promise<Pattern> {
  if (inspectPattern(pattern).balanced) return pattern;
  // Over holes a new skin is laid anyway, and which way a loose facet should face nobody but its maker can tell.
  const mend = options.remesh !== 'always';
  const mended = await mendPattern(pattern, { fill: mend, orient: mend, ...partOfProgress(options, 0, 0.2) });
  if (mended.steps.length > 0) findings.push(say.mended(mended.steps.map(({ message }) => message)));
  return mended.pattern;
}

/** How many pairs of faces of one and the same shell cut or touch each other, for each shell. */
async function cutsByShell(
  pattern: Pattern,
  look: boolean,
  task: TaskOptions,
): Promise<{ shells: number; ofShell: Uint32Array }> {
  const { triangles, positions } = pattern;
  const { count, ofTriangle } = labelShells(triangles, listEdges(triangles, positions.length / 3));
  const ofShell = new Uint32Array(count);
  if (!look) return { shells: count, ofShell };
  const { cutPairs } = await inspectPatternFully(pattern, task);
  for (let k = 0; k < cutPairs.length; k += 2) {
    const shell = ofTriangle[cutPairs[k]];
    if (shell !== NO_SHELL && shell === ofTriangle[cutPairs[k + 1]]) ofShell[shell]++;
  }
  return { shells: count, ofShell };
}

function newSkin(scope: Scope, mesh: FramedMesh, resolution: number | undefined): Remeshed {
  const made = remeshSolid(scope, mesh, resolution);
  if (made) return made;
  throw new OddsideError(
    'infeasible',
    'Nothing was found inside the surface at this resolution: it is a sheet, or its walls are thinner than a cell. Use a finer resolution, or thicken the object.',
  );
}

function bodyVolume(scope: Scope, { points, triangles }: FramedMesh): number {
  return bodyOfArrays(scope, points, triangles, 'The pattern').volume();
}

const worstOf = (skins: readonly Remeshed[]): NewSkin => ({
  resolution: Math.max(...skins.map((skin) => skin.resolution)),
  distance: Math.max(...skins.map((skin) => skin.distance)),
  bridgedShare: Math.max(...skins.map((skin) => skin.bridgedShare)),
  lostShare: Math.max(...skins.map((skin) => skin.lostShare)),
});

/** A shell as a body of its own, and what its faces enclosed. */
interface TakenShell extends Shell {
  readonly enclosed: number;
}

function shellBodies(
  scope: Scope,
  mesh: FramedMesh,
  cuts: Uint32Array,
  { remesh, resolution }: MakeSolidOptions,
  skins: Remeshed[],
  findings: Finding[],
): TakenShell[] {
  const { triangles, points } = mesh;
  const { count, ofTriangle } = labelShells(triangles, listEdges(triangles, points.length / 3));
  const lists: number[][] = Array.from({ length: count }, () => []);
  for (let t = 0; t < ofTriangle.length; t++) {
    if (ofTriangle[t] !== NO_SHELL)
      lists[ofTriangle[t]].push(triangles[3 * t], triangles[3 * t + 1], triangles[3 * t + 2]);
  }
  return lists.map((list, shell) => {
    const { corners, numbers } = compact(points, list);
    const body = bodyOfArrays(scope, corners, numbers, 'A shell of the pattern');
    const volume = body.volume();
    if (cuts[shell] === 0) return { body, volume, enclosed: volume };
    const own = boxOf(corners);
    const doubled = doubledVolume(corners, numbers, own, volume < 0 ? -1 : 1);
    if (remesh === 'never' || doubled <= DOUBLED_SHARE * Math.abs(volume)) {
      findings.push(say.cutsItself(cuts[shell], doubled));
      return { body, volume, enclosed: volume };
    }
    const skin = newSkin(scope, { points: corners, triangles: numbers, box: own, rounding: mesh.rounding }, resolution);
    skins.push(skin);
    return { body: skin.body, volume: skin.body.volume(), enclosed: volume };
  });
}

function boxOf(points: Float32Array): FramedMesh['box'] {
  const min: [number, number, number] = [Infinity, Infinity, Infinity];
  const max: [number, number, number] = [-Infinity, -Infinity, -Infinity];
  for (let i = 0; i < points.length; i++) {
    min[i % 3] = Math.min(min[i % 3], points[i]);
    max[i % 3] = Math.max(max[i % 3], points[i]);
  }
  return { min, max };
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
function hollowOut(scope: Scope, shells: readonly Shell[], findings: Finding[]): Body[] {
  const outward = shells.filter(({ volume }) => volume >= 0).sort((a, b) => a.volume - b.volume);
  const bodies = outward.map(({ body }) => body);
  let turned = 0;
  for (const { body, volume } of shells.filter((shell) => shell.volume < 0)) {
    const space = turnedOut(scope, body);
    const k = outward.findIndex((shell) => shell.volume >= -volume && holds(shell.body, space));
    if (k >= 0) bodies[k] = scope.cut(bodies[k], space);
    // An inward shell that nothing holds encloses metal with its faces turned in: taken as if turned out.
    else {
      bodies.push(space);
      turned++;
    }
  }
  if (turned > 0) findings.push(say.turnedOut(turned));
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
