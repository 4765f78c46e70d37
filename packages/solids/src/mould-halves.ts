/**
 * The two halves of the mould as solids of sand, and the metal that fills them: for looking at, for printed sand, and for
 * the true volumes poured and of sand.
 */
import {
  OddsideError, plainNumber, resolveOptions, startPacing, checkNumber, type Bounds, type Finding, type TaskOptions, type Vec3,
} from '@oddside/core'; // prettier-ignore
import type { Pattern } from '@oddside/pattern';
import { STAND_SAND, checkThinWalls, checkWallLimits } from './check-thin-walls.js';
import { boxBody, patternOf } from './convert-body.js';
import { frameColumns, type FrameColumns } from './frame-columns.js';
import { frameJoint } from './frame-joint.js';
import type { Joint } from './joint.js';
import type { Body, Kernel } from './kernel.js';
import {
  checkParts,
  type FeederSize,
  type FlaskSize,
  type GateSize,
  type RunnerSize,
  type SprueSize,
  type VentSize,
} from './mould-parts.js';
import { inScope, type Scope } from './own-bodies.js';
import { placeParts, spotOf, type PlacedParts } from './place-mould-parts.js';
import { prepareDraw, type PreparedDraw } from './prepare-draw.js';

/** What `mouldHalves` takes. The flask lies across the draw, centred on the pattern's box and moved by `offset`. */
export interface MouldHalvesOptions extends TaskOptions {
  readonly joint: Joint;
  readonly flask: FlaskSize;
  /** How far the flask's middle lies off the middle of the pattern's box, mm along the two axes across the draw. Default [0, 0]. */
  readonly offset: readonly [number, number];
  /** Least sand between cavity, sprue and flask, mm. Default 25 (common practice for a small flask, no source). */
  readonly margin: number;
  readonly sprue: SprueSize | undefined;
  readonly runner: RunnerSize | undefined;
  readonly gates: GateSize | undefined;
  readonly feeders: readonly FeederSize[];
  readonly vents: VentSize | undefined;
  /** Sand of the halves thinner than this is told as too thin to stand, mm; 0: not looked for. Default 3 (common practice, no source). */
  readonly standSand: number;
}

/** Defaults of `mouldHalves`; joint and flask have none. */
export const MOULD_HALVES_DEFAULTS: Omit<MouldHalvesOptions, 'joint' | 'flask'> = Object.freeze({
  offset: Object.freeze([0, 0] as const),
  margin: 25,
  sprue: undefined,
  runner: undefined,
  gates: undefined,
  feeders: Object.freeze([]),
  vents: undefined,
  standSand: STAND_SAND,
  signal: undefined,
  onProgress: undefined,
});

/** The halves of a mould, in the pattern's coordinates. */
export interface MouldHalves {
  readonly cope: Pattern;
  readonly drag: Pattern;
  /** Everything the metal fills: the cavity with sprue, well, runner, gates, feeders. Vents are left out: no metal is meant to run into them. */
  readonly metal: Pattern;
  /** Cope sand + drag sand + metal + vents = flask; each mm³. */
  readonly volumes: {
    readonly flaskMm3: number;
    readonly copeSandMm3: number;
    readonly dragSandMm3: number;
    readonly cavityMm3: number;
    readonly pouredMm3: number;
    readonly ventsMm3: number;
    /** Between the cavity's roof and the cope's top, over the whole cavity: what the lift on the cope is reckoned from. By columns. */
    readonly roofMm3: number;
    readonly errorMm3: number;
  };
  /** Where things were put. */
  readonly places: { readonly sprue: Vec3 | null; readonly feeders: readonly Vec3[]; readonly vents: readonly Vec3[] };
  readonly findings: readonly Finding[];
}

/** Columns across the pattern for placing and for the roof. */
const COLUMNS = 256;

/** See {@link MouldHalvesOptions}. @throws OddsideError `bad-pattern`, `bad-direction`, `bad-number`, `bad-option`, `infeasible`. */
export async function mouldHalves(
  kernel: Kernel,
  pattern: Pattern,
  direction: Vec3,
  given: Partial<MouldHalvesOptions> & Pick<MouldHalvesOptions, 'joint' | 'flask'>,
): Promise<MouldHalves> {
  const defaults: MouldHalvesOptions = { ...MOULD_HALVES_DEFAULTS, joint: given?.joint, flask: given?.flask };
  const options = resolveOptions('mouldHalves', defaults, given);
  checkParts(options);
  checkNumber('margin (mm)', options.margin, { min: 0 });
  checkWallLimits({ printWall: 0, standSand: options.standSand });
  for (const part of options.offset) checkNumber('offset (mm)', part);
  const pacer = startPacing(options);
  return inScope(kernel, async (scope) => {
    const draw = prepareDraw(scope, pattern, direction);
    const joint = frameJoint(draw.frame, options.joint);
    const columns = frameColumns(draw.frame, pattern, COLUMNS);
    const box = flaskBox(draw, joint.heightAt(0, 0), options);
    const findings = thinSand(draw.mesh.box, box, options.margin);
    await pacer.step(0.2);
    const placed = placeParts({ ...options, frame: draw.frame, columns, joint, cavity: draw.mesh.box, flask: box });
    const extras = extraBodies(scope, placed, options, box);
    const flask = boxBody(scope, box);
    const metal = scope.meet(scope.unite([draw.body, ...extras.metal]), flask);
    await pacer.step(0.5);
    const vents = extras.vents.length > 0 ? scope.cut(scope.meet(scope.unite(extras.vents), flask), metal) : null;
    const hollow = vents ? scope.unite([metal, vents]) : metal;
    const sand = scope.cut(flask, hollow);
    await pacer.step(0.75);
    const [cope, drag] = [joint.over(scope, sand), joint.under(scope, sand)];
    const { frame } = draw;
    const { signal, standSand } = options;
    const halves = {
      cope: patternOf(frame, cope, `${pattern.name} cope`),
      drag: patternOf(frame, drag, `${pattern.name} drag`),
    };
    findings.push(
      ...placed.findings,
      ...(await checkThinWalls([halves.cope, halves.drag], { ofSand: true, standSand, signal })),
    );
    const result: MouldHalves = {
      ...halves,
      metal: patternOf(frame, metal, `${pattern.name} poured metal`),
      volumes: {
        flaskMm3: flask.volume(),
        copeSandMm3: cope.volume(),
        dragSandMm3: drag.volume(),
        cavityMm3: draw.body.volume(),
        pouredMm3: metal.volume(),
        ventsMm3: vents ? vents.volume() : 0,
        roofMm3: roofOf(columns, box.max[2]),
        errorMm3: draw.errorMm3,
      },
      places: {
        sprue: placed.sprue && spotOf(frame, placed.sprue),
        feeders: placed.feeders.map((spot) => spotOf(frame, spot)),
        vents: placed.vents.map((spot) => spotOf(frame, spot)),
      },
      findings,
    };
    pacer.finish();
    return result;
  });
}

function flaskBox({ mesh }: PreparedDraw, height: number, { flask, offset }: MouldHalvesOptions): Bounds {
  const { min, max } = mesh.box;
  const [x, y] = [(min[0] + max[0]) / 2 + offset[0], (min[1] + max[1]) / 2 + offset[1]];
  const box: Bounds = {
    min: [x - flask.length / 2, y - flask.width / 2, height - flask.dragHeight],
    max: [x + flask.length / 2, y + flask.width / 2, height + flask.copeHeight],
  };
  if ([0, 1, 2].some((k) => min[k] <= box.min[k] || max[k] >= box.max[k])) {
    const size = [0, 1, 2].map((k) => plainNumber(max[k] - min[k])).join(' × ');
    throw new OddsideError(
      'infeasible',
      `The pattern (${size} mm across and along the draw) must lie inside the flask with sand all round, but it reaches through its wall, top or bottom. Use a larger flask or move the joint.`,
      { pattern: mesh.box, flask: box },
    );
  }
  return box;
}

function extraBodies(
  scope: Scope,
  placed: PlacedParts,
  { sprue: size, vents }: MouldHalvesOptions,
  box: Bounds,
): { metal: Body[]; vents: Body[] } {
  const { Manifold } = scope.kernel;
  const metal: Body[] = [];
  // Everything overlaps its neighbour by this much, so that no two parts meet in a face only.
  const overlap = 0.01;
  const standing = (x: number, y: number, from: number, to: number, low: number, high: number): Body =>
    scope.move(scope.own(Manifold.cylinder(to - from, low / 2, high / 2, 64)), [x, y, from]);
  if (placed.sprue && size) {
    const { x, y, z } = placed.sprue;
    metal.push(standing(x, y, z - overlap, box.max[2] + overlap, size.bottomDiameter, size.topDiameter));
    if (size.well) metal.push(standing(x, y, z - size.well.depth, z + overlap, size.well.diameter, size.well.diameter));
  }
  if (placed.runner) metal.push(boxBody(scope, { ...placed.runner, max: raised(placed.runner.max, overlap) }));
  for (const gate of placed.gates) metal.push(boxBody(scope, gate));
  for (const { x, y, z, size: feeder } of placed.feeders) {
    metal.push(standing(x, y, z - feeder.diameter / 4, z + feeder.height, feeder.diameter, feeder.diameter));
  }
  const tops = placed.vents.map(({ x, y, z }) =>
    standing(x, y, z - vents!.diameter, box.max[2] + overlap, vents!.diameter, vents!.diameter),
  );
  return { metal, vents: tops };
}

const raised = (corner: Vec3, by: number): Vec3 => [corner[0], corner[1], corner[2] + by];

/** Volume between the highest metal and the top of the cope. */
function roofOf({ top, column }: FrameColumns, height: number): number {
  let sum = 0;
  for (const z of top) if (z > -Infinity) sum += Math.max(0, height - z);
  return sum * column * column;
}

function thinSand(cavity: Bounds, flask: Bounds, margin: number): Finding[] {
  const walls = [0, 1].flatMap((k) => [cavity.min[k] - flask.min[k], flask.max[k] - cavity.max[k]]);
  const deep = [cavity.min[2] - flask.min[2], flask.max[2] - cavity.max[2]];
  const thinnest = Math.min(...walls, ...deep);
  if (thinnest >= margin) return [];
  const where = Math.min(...walls) <= Math.min(...deep) ? 'the flask’s wall' : 'its top or bottom';
  return [
    {
      code: 'thin-sand',
      severity: 'warning',
      message: `Only ${plainNumber(thinnest)} mm of sand stands between the cavity and ${where}; ${plainNumber(margin)} mm were asked for.`,
      remedy: 'Use a larger or deeper flask, or move the pattern in it.',
    },
  ];
}
