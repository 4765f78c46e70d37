/**
 * The plate (match plate) with a half of the pattern on each face: its size from a flask, the rim that rests on the
 * flask's edges, and two guide holes for the flask's pins.
 */
import {
  OddsideError,
  checkNumber,
  formatLength,
  plainNumber,
  resolveOptions,
  type Bounds,
  type Finding,
} from '@oddside/core';
import { boxBody } from './convert-body.js';
import type { FramedJoint } from './frame-joint.js';
import type { Body } from './kernel.js';
import type { Scope } from './own-bodies.js';

/** Two holes in the rim, at the middle of its short sides, for the flask's pins: one round, one a slot along the line between them. */
export interface PlateGuides {
  /** From middle to middle, mm. Default: the middle of the rim on both sides. */
  readonly across?: number;
  /** Of the round hole, with the pin's room in it, mm. */
  readonly diameter: number;
  /**
   * Width of the slot, mm. Default 0.8 of the diameter, for a thinner second pin: then the plate cannot be put in turned
   * (common practice, no source). As wide as the diameter where the flask's pins are alike; that is told.
   */
  readonly slotWidth?: number;
  /** Length of the slot from end to end, mm, so that flask and plate may swell and shrink. Default its width and 2. */
  readonly slot?: number;
}

/** A plate between the halves. Its size is given either by `length` and `width` or by `flask` and `rim`. */
export interface PatternPlate {
  /** Of the plate itself, mm. */
  readonly length?: number;
  readonly width?: number;
  /** Inside of the flask across the draw, mm. The plate is larger by the rim on every side. */
  readonly flask?: { readonly length: number; readonly width: number };
  /** What rests on the flask's edges, mm on every side. Default 25 (common practice, no source). Only with a flask. */
  readonly rim?: number;
  /** Default 12 mm (common practice for a wooden or printed plate, no source). */
  readonly thickness?: number;
  /** Default none. Only with a flask. */
  readonly guides?: PlateGuides;
}

/** A checked plate, every size filled in, mm. */
export interface PlatePlan {
  readonly length: number;
  readonly width: number;
  readonly thickness: number;
  readonly flask: { readonly length: number; readonly width: number } | null;
  readonly guides: Required<PlateGuides> | null;
}

const RIM = 25;
const THICKNESS = 12;
const NO_PLATE: Record<keyof PatternPlate, undefined> = Object.freeze({
  length: undefined,
  width: undefined,
  flask: undefined,
  rim: undefined,
  thickness: undefined,
  guides: undefined,
});
const NO_GUIDES: Record<keyof PlateGuides, undefined> = Object.freeze({
  across: undefined,
  diameter: undefined,
  slotWidth: undefined,
  slot: undefined,
});
/** Plate left between a guide hole and the flask's inside or the plate's edge, mm (common practice, no source). */
const HOLE_EDGE = 2;

const positive = (what: string, value: number): number => checkNumber(`${what} (mm)`, value, { min: 0, above: true });

/** Checks what was asked for and fills in the rest. @throws OddsideError `bad-number`, `bad-option`. */
export function planPlate(given: PatternPlate): PlatePlan {
  const plate: PatternPlate = resolveOptions<PatternPlate>('splitPattern.plate', NO_PLATE, given);
  const { flask, length, width } = plate;
  const thickness = positive('plate.thickness', plate.thickness ?? THICKNESS);
  if (!flask) {
    if (plate.rim !== undefined || plate.guides) {
      throw new OddsideError(
        'bad-option',
        'plate.rim and plate.guides belong to a flask, but plate.flask is missing. Give its inside length and width.',
      );
    }
    if (length === undefined || width === undefined) {
      throw new OddsideError(
        'bad-option',
        'A plate needs its length and width, or the flask it is for; neither came in full.',
      );
    }
    return {
      length: positive('plate.length', length),
      width: positive('plate.width', width),
      thickness,
      flask: null,
      guides: null,
    };
  }
  if (length !== undefined || width !== undefined) {
    throw new OddsideError(
      'bad-option',
      'A plate takes its size from plate.flask or from plate.length and plate.width, but both came. Leave one out.',
    );
  }
  const inside = {
    length: positive('plate.flask.length', flask.length),
    width: positive('plate.flask.width', flask.width),
  };
  const rim = positive('plate.rim', plate.rim ?? RIM);
  return {
    length: inside.length + 2 * rim,
    width: inside.width + 2 * rim,
    thickness,
    flask: inside,
    guides: plate.guides ? planGuides(plate.guides, inside.length, rim) : null,
  };
}

function planGuides(given: PlateGuides, inside: number, rim: number): Required<PlateGuides> {
  const guides: PlateGuides = resolveOptions<PlateGuides>(
    'splitPattern.plate.guides',
    { ...NO_GUIDES, diameter: NaN },
    given,
  );
  const diameter = positive('plate.guides.diameter', guides.diameter);
  const slotWidth = positive('plate.guides.slotWidth', guides.slotWidth ?? 0.8 * diameter);
  const slot = checkNumber('plate.guides.slot (mm)', guides.slot ?? slotWidth + 2, { min: slotWidth });
  const across = positive('plate.guides.across', guides.across ?? inside + rim);
  const reach = Math.max(diameter, slot) / 2 + HOLE_EDGE;
  const [inner, outer] = [across / 2 - reach - inside / 2, inside / 2 + rim - across / 2 - reach];
  // Rounding must not refuse holes that just fit.
  const missing = Math.max(-inner, -outer);
  if (missing > 1e-9 * inside) {
    throw new OddsideError(
      'bad-number',
      `Guide holes ${plainNumber(across)} mm apart must leave ${HOLE_EDGE} mm of plate to the flask’s inside and to the plate’s edge, but ${plainNumber(missing)} mm are missing. Widen plate.rim (${plainNumber(rim)} mm came), or choose other guides.`,
      { missing },
    );
  }
  return { across, diameter, slotWidth, slot };
}

/**
 * How much of a half, next to the joint, is set half in it and half in the plate, mm. On a level joint both share a face to
 * the last bit and the kernel joins them; on any other the last bits differ, and without a foot a film of nothing stays
 * between. A half that draws is no wider over its foot than at the joint, so nothing stands out.
 */
const FOOT = 0.1;

/** The plate with its halves as one body, in the frame, centred on the pattern. */
export function makePlate(
  scope: Scope,
  box: Bounds,
  joint: FramedJoint,
  halves: { readonly cope: Body | null; readonly drag: Body | null },
  plan: PlatePlan,
): Body {
  const half = plan.thickness / 2;
  const [x, y] = middleOf(box);
  const [dx, dy] = [plan.length / 2, plan.width / 2];
  const rectangle = [x - dx, y - dy, x + dx, y + dy] as const;
  const [low, high] = [joint.lowestOver(...rectangle) - 2 * half, joint.highestOver(...rectangle) + 2 * half];
  const block = boxBody(scope, { min: [x - dx, y - dy, low], max: [x + dx, y + dy, high] });
  const slab = joint.over(scope, joint.under(scope, block, half), -half);
  const parts = [plan.guides ? scope.cut(slab, guideHoles(scope, plan.guides, x, y, low, high)) : slab];
  for (const [body, way] of [
    [halves.cope, 1],
    [halves.drag, -1],
  ] as const) {
    if (!body) continue;
    parts.push(scope.move(body, [0, 0, way * half]));
    if (joint.level !== null) continue;
    const foot = way > 0 ? joint.under(scope, body, FOOT) : joint.over(scope, body, -FOOT);
    parts.push(scope.move(foot, [0, 0, way * (half - FOOT / 2)]));
  }
  return scope.unite(parts);
}

function guideHoles(
  scope: Scope,
  { across, diameter, slotWidth, slot }: Required<PlateGuides>,
  x: number,
  y: number,
  low: number,
  high: number,
): Body {
  const round = (at: number, wide: number): Body =>
    scope.move(scope.own(scope.kernel.Manifold.cylinder(high - low, wide / 2, wide / 2, 48, false)), [at, y, low]);
  const end = (slot - slotWidth) / 2;
  const holes = [round(x - across / 2, diameter), round(x + across / 2 - end, slotWidth)];
  if (end > 0) {
    const [from, to] = [x + across / 2 - end, x + across / 2 + end];
    holes.push(round(to, slotWidth));
    holes.push(boxBody(scope, { min: [from, y - slotWidth / 2, low], max: [to, y + slotWidth / 2, high] }));
  }
  return scope.unite(holes);
}

const middleOf = ({ min, max }: Bounds): [number, number] => [(min[0] + max[0]) / 2, (min[1] + max[1]) / 2];

/** A rim that rises more than this does not lie on a flask's flat edges, mm (common practice, no source). */
const RIM_RISE = 0.5;

/** What a plate for a flask tells: a pattern too large for it, a rim that is not flat, guides that can be confused. */
export function plateFindings(box: Bounds, joint: FramedJoint, plan: PlatePlan): Finding[] {
  const { flask, guides } = plan;
  if (!flask) return [];
  const findings: Finding[] = [];
  const missing = [flask.length, flask.width].map((side, k) => box.max[k] - box.min[k] - side);
  if (Math.max(...missing) > 0) {
    const short = ['length', 'width'].flatMap((side, k) =>
      missing[k] > 0 ? [`${formatLength(missing[k])} in ${side}`] : [],
    );
    findings.push({
      code: 'flask-too-small',
      severity: 'problem',
      message: `The halves do not fit inside the flask of ${plainNumber(flask.length)} × ${plainNumber(flask.width)} mm: ${short.join(' and ')} is missing, without any sand round them.`,
      remedy: 'Use a larger flask, or turn the pattern in it.',
    });
  }
  const rise = rimRise(box, joint, plan, flask);
  if (rise > RIM_RISE) {
    findings.push({
      code: 'rim-not-flat',
      severity: 'warning',
      message: `The plate’s rim follows the joint and rises by ${formatLength(rise)}; a flask’s edges are flat.`,
      remedy:
        'Use a flat joint across the draw, a joint that is level outside the pattern, or fit the flask’s edges to the rim.',
    });
  }
  if (guides && guides.slotWidth >= guides.diameter) {
    findings.push({
      code: 'guides-alike',
      severity: 'note',
      message: 'The slot takes the round hole’s pin, so that the plate can be put in turned.',
      remedy: 'Make the second pin and the slot thinner, or mark one end of plate and flask.',
    });
  }
  return findings;
}

/** How much the joint rises and falls along the flask's inside and the plate's edge, mm. */
function rimRise(box: Bounds, joint: FramedJoint, plan: PlatePlan, flask: { length: number; width: number }): number {
  if (joint.level !== null) return 0;
  const [x, y] = middleOf(box);
  let [low, high] = [Infinity, -Infinity];
  for (const { length, width } of [flask, plan]) {
    for (let n = 0; n <= 64; n++) {
      const t = n / 32 - 1;
      for (const [a, b] of [
        [t, 1],
        [t, -1],
        [1, t],
        [-1, t],
      ]) {
        const height = joint.heightAt(x + (a * length) / 2, y + (b * width) / 2);
        low = Math.min(low, height);
        high = Math.max(high, height);
      }
    }
  }
  return high - low;
}
