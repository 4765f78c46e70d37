/**
 * The drafted hull: the smallest solid round the pattern that draws with a given draft on every side. Its volume less the
 * pattern's is the metal, or filler, to add: back draft and missing draft in one figure.
 *
 * Draw both depth buffers out by cones whose half angle is the draft (geometry of two-part moulds, draft, cone version):
 * B over each place is the highest that any cone under the top reaches there, A the lowest of those over the bottom. The
 * hull is what lies between A and B. It grows with the draft, and bounds the back draft along every draw that close to
 * this one.
 *
 * With a flat joint at height h the hull must taper from the joint both ways: what is above h under B, and what is below h
 * over A. That is convex in h with its least at the median of all A and B.
 */
import { checkNumber, dot, radians, resolveOptions, type Finding, type Vec3 } from '@oddside/core';
import { checkPattern, type Pattern } from '@oddside/pattern';
import { castColumns } from './cast-columns.js';
import { CELL_BOTTOM, CELL_CROSSINGS, CELL_METAL, CELL_STRIDE, CELL_TOP, imbalance } from './column-field.js';
import type { ColumnField } from './column-field.js';
import { addCone, spreadCones, startCones, type ConeField } from './dilate-cones.js';
import { chooseHeight } from './find-flat-joint.js';
import { samplingError } from './measure-columns.js';
import { wedgesAlongSteps } from './narrow-taper.js';
import { placeCorners } from './place-corners.js';

/** What {@link draftedHull} takes. */
export interface DraftedHullOptions {
  /** Draft on every side, degrees, 0–20. Default 2. */
  readonly draftDeg: number;
  /** Columns across the longer side of the shadow, 2–1024. Default 256. Fewer are used where the taper reaches very far. */
  readonly columns: number;
}

/** Defaults of {@link draftedHull}. */
export const DRAFTED_HULL_DEFAULTS: DraftedHullOptions = Object.freeze({ draftDeg: 2, columns: 256 });

/** What it takes to give a pattern draft along one draw. */
export interface DraftedHull {
  readonly direction: Vec3;
  readonly draftDeg: number;
  /** Width of a column, mm. */
  readonly column: number;
  /** Least volume to add, whatever the joint. */
  readonly addMm3: number;
  /** Two standard errors of sampling, what columns blur of a narrow taper, and everything in columns that could not be read. */
  readonly addErrorMm3: number;
  /** With a flat joint: the equally good heights, mm from the file's origin, the one to use, and the volume to add there. */
  readonly flat: { readonly low: number; readonly high: number; readonly height: number; readonly addMm3: number };
  /** False where the surface is open or overlaps itself along this draw. */
  readonly reliable: boolean;
  readonly findings: readonly Finding[];
}

/** Columns along a side at most, the taper's reach included. */
const MOST_SIDE = 1000;

/**
 * Measures the drafted hull of a pattern along a draw.
 *
 * @returns The volumes to add. Cost: a cast, a pass over the edges, and about 0.3 µs a column of shadow and taper.
 *   A taper thinner than a column is measured from its true edge, not from the nearest column.
 * @throws OddsideError `bad-direction`, `bad-number`, `bad-option`, `bad-pattern`, `no-triangles`.
 */
export function draftedHull(pattern: Pattern, direction: Vec3, options?: Partial<DraftedHullOptions>): DraftedHull {
  const { draftDeg, columns } = resolveOptions('draftedHull', DRAFTED_HULL_DEFAULTS, options);
  checkNumber('draftDeg (degrees)', draftDeg, { min: 0, max: 20 });
  checkNumber('columns', columns, { min: 2, max: 1024, whole: true });
  checkPattern(pattern);
  const tangent = Math.tan(radians(draftDeg));
  let field = castColumns(pattern, direction, columns);
  const reach = (): number => Math.ceil(((field.highest - field.lowest) * tangent) / field.column) + 2;
  const side = Math.max(field.nu, field.nv) + 2 * reach();
  if (side > MOST_SIDE) {
    field = castColumns(pattern, direction, Math.max(2, Math.floor((columns * MOST_SIDE) / side)));
  }
  const pad = reach();
  const placed = placeCorners(pattern.positions, field);
  const top = coneHull(pattern.triangles, placed, field, pad, tangent, 1);
  const bottom = coneHull(pattern.triangles, placed, field, pad, tangent, -1);
  return describeHull(field, pad, draftDeg, top.over, bottom.over);
}

/** The cones under the top (`way` 1) or, upside down, over the bottom (−1). */
function coneHull(
  triangles: Uint32Array,
  placed: Float64Array,
  field: ColumnField,
  pad: number,
  tangent: number,
  way: 1 | -1,
): ConeField {
  const { cells, nu, nv, column } = field;
  const width = nu + 2 * pad;
  const floor = way === 1 ? field.lowest : -field.highest;
  // Without draft a cone is a needle; a finite fall, past any height in one column, keeps 0 × ∞ out of the sums.
  const fall = tangent > 0 ? column / tangent : 4 * (field.highest - field.lowest + column);
  const cones = startCones(width, nv + 2 * pad, fall, floor);
  const place = way === 1 ? CELL_TOP : CELL_BOTTOM;
  for (let row = 0; row < nv; row++) {
    for (let x = 0; x < nu; x++) {
      const z = way * cells[(row * nu + x) * CELL_STRIDE + place];
      if (z !== -Infinity) addCone(cones, x + pad, row + pad, z);
    }
  }
  if (!(tangent > 0)) return cones;
  const steep = nearSteps(cones);
  for (let t = 0; t < triangles.length; t += 3) {
    addEdge(cones, placed, triangles[t] * 3, triangles[t + 1] * 3, pad, way, steep);
    addEdge(cones, placed, triangles[t + 1] * 3, triangles[t + 2] * 3, pad, way, steep);
    addEdge(cones, placed, triangles[t + 2] * 3, triangles[t] * 3, pad, way, steep);
  }
  spreadCones(cones);
  return cones;
}

/** Marks the columns at and beside a step that a cone cannot follow: only there do edges between columns matter. */
function nearSteps({ width, height, over, fall }: ConeField): Uint8Array {
  const steep = new Uint8Array(width * height);
  for (let row = 1; row + 1 < height; row++) {
    for (let i = row * width + 1; i + 1 < (row + 1) * width; i++) {
      const here = Math.max(over[i], -Number.MAX_VALUE);
      if (here - over[i + 1] > fall / 2 || over[i + 1] - here > fall / 2) steep[i] = steep[i + 1] = 1;
      if (here - over[i + width] > fall / 2 || over[i + width] - here > fall / 2) steep[i] = steep[i + width] = 1;
    }
  }
  return steep;
}

/** Cones along an edge, two to a column: the rim of a wall lies between columns, and the taper starts at the rim. */
function addEdge(
  cones: ConeField,
  placed: Float64Array,
  a: number,
  b: number,
  pad: number,
  way: 1 | -1,
  steep: Uint8Array,
): void {
  const x = placed[a];
  const y = placed[a + 1];
  const dx = placed[b] - x;
  const dy = placed[b + 1] - y;
  const z = placed[a + 2];
  const dz = placed[b + 2] - z;
  const steps = Math.max(1, Math.ceil(2 * Math.sqrt(dx * dx + dy * dy)));
  for (let k = 0; k < steps; k++) {
    const share = k / steps;
    const px = x + share * dx + pad;
    const py = y + share * dy + pad;
    if (steep[Math.round(py) * cones.width + Math.round(px)] === 0) continue;
    addCone(cones, px, py, way * (z + share * dz));
  }
}

function describeHull(
  field: ColumnField,
  pad: number,
  draftDeg: number,
  above: Float64Array,
  belowTurned: Float64Array,
): DraftedHull {
  const { cells, nu, nv, column } = field;
  const width = nu + 2 * pad;
  const height = nv + 2 * pad;
  const area = column * column;
  const added = new Float64Array(width * height);
  let metal = 0;
  let unread = 0;
  let holes = 0;
  for (let i = 0; i < added.length; i++) added[i] = Math.max(0, above[i] + belowTurned[i]);
  for (let row = 0; row < nv; row++) {
    for (let x = 0; x < nu; x++) {
      const i = (row * nu + x) * CELL_STRIDE;
      if (cells[i + CELL_TOP] === -Infinity) continue;
      const span = cells[i + CELL_TOP] - cells[i + CELL_BOTTOM];
      const balanced = imbalance(cells[i + CELL_CROSSINGS]) === 0;
      // An overlap counts twice as metal and a hole not at all: neither may be taken off what is to be added.
      const here = balanced ? Math.min(span, cells[i + CELL_METAL]) : span;
      unread += balanced ? Math.max(0, cells[i + CELL_METAL] - span) : span;
      if (!balanced) holes++;
      metal += here;
      added[(row + pad) * width + x + pad] -= here;
    }
  }
  const joint = bestFlat(field, above, belowTurned);
  const base = dot(field.origin, field.direction);
  const addMm3 =
    Math.max(
      0,
      added.reduce((sum, value) => sum + value, 0),
    ) * area;
  // Where a taper begins and ends its height has a kink, which columns c wide misjudge by up to slope × c²/8 along it: of a
  // taper that reaches R, by (c/R)²/4 of what it adds. It does not vary from column to column, so sampling cannot show it. Of
  // tapers narrower than a column next to nothing is seen: what they come to is then told from the steps.
  const taper = (Math.tan(radians(draftDeg)) * (field.highest - field.lowest)) / 2;
  const kinkShare = taper > 0 ? Math.min(1, (column / taper) ** 2 / 4) : 0;
  const kinkMm3 = kinkShare * Math.max(addMm3, wedgesAlongSteps(field, Math.tan(radians(draftDeg))));
  const reliable = holes === 0 && unread <= 1e-9 * Math.max(metal, column);
  return {
    direction: field.direction,
    draftDeg,
    column,
    addMm3,
    addErrorMm3: samplingError(added, width, height, area) + kinkMm3 + unread * area,
    flat: {
      low: joint.low + base,
      high: joint.high + base,
      height: joint.height + base,
      addMm3: Math.max(0, joint.volume - metal) * area,
    },
    reliable,
    findings: [...(reliable ? [] : [UNREAD]), ...(kinkMm3 > addMm3 ? [narrowTaper(taper, column)] : [])],
  };
}

const UNREAD: Finding = Object.freeze({
  code: 'hull-unread',
  severity: 'warning',
  message:
    'Some columns along this draw pass through a hole or through overlapping metal; what they would need is counted in the error.',
  remedy: 'Close the holes and unite the bodies, then measure again.',
});

function narrowTaper(taper: number, column: number): Finding {
  return {
    code: 'narrow-taper',
    severity: 'note',
    message: `The taper that is asked for is at most ${taper.toPrecision(2)} mm wide and a column ${column.toPrecision(2)} mm, so most of it is not seen: the error is told from the height of the steps.`,
    remedy: 'Ask for more columns, or make the draft as a solid and measure that.',
  };
}

/** The best height of a flat joint for the hull, from the field's origin, and the hull's volume in lengths. */
function bestFlat(
  field: ColumnField,
  above: Float64Array,
  belowTurned: Float64Array,
): { low: number; high: number; height: number; volume: number } {
  const { lowest, highest } = field;
  const ends: number[] = [];
  let under = 0;
  const note = (end: number): void => {
    if (end < lowest) under++;
    else if (end <= highest) ends.push(end);
  };
  for (let i = 0; i < above.length; i++) {
    note(above[i]);
    note(-belowTurned[i]);
  }
  const sorted = Float64Array.from(ends).sort();
  const ofRank = (rank: number): number => sorted[Math.min(sorted.length - 1, Math.max(0, rank - under))] ?? lowest;
  const low = ofRank(above.length - 1);
  const high = ofRank(above.length);
  const height = chooseHeight(low, high, lowest, highest);
  let volume = 0;
  for (let i = 0; i < above.length; i++) {
    volume += Math.max(0, above[i] - height) + Math.max(0, height + belowTurned[i]);
  }
  return { low, high, height, volume };
}
