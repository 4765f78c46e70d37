/**
 * The pattern for the metal: larger by what the metal contracts, with stock on the faces that will be machined, and
 * smaller in plan by what rapping widens the mould.
 */
import {
  OddsideError, checkNumber, dot, radians, resolveOptions, startPacing, unitVector, type Finding, type TaskOptions, type Vec3,
} from '@oddside/core'; // prettier-ignore
import { checkPattern, findBounds, transformPattern, type Pattern } from '@oddside/pattern';
import { STAND_SAND, THIN_WALL_DEFAULTS, checkThinWalls, checkWallLimits } from './check-thin-walls.js';
import { patternOf } from './convert-body.js';
import type { FramedMesh } from './draw-frame.js';
import type { Kernel } from './kernel.js';
import { inScope, type Scope } from './own-bodies.js';
import { prepareDraw } from './prepare-draw.js';
import { thickenFaces } from './sweep-faces.js';

/** Stock on the faces that look one way. */
export interface MachiningStock {
  /** Which way the faces look. */
  readonly normal: Vec3;
  /** How much metal is left on them to machine off, mm on the casting, above 0. */
  readonly stock: number;
  /** How far a face may look off the normal and still count, degrees, 0–60. Default 5. */
  readonly withinDeg?: number;
  /** Only faces at least this high along the normal, mm from the file's origin. Default all. */
  readonly from?: number;
}

/** What `scalePattern` takes. */
export interface ScalePatternOptions extends TaskOptions {
  /** Share by which the metal contracts, 0–0.1, for all axes or for x, y and z. Default 0. */
  readonly contraction: number | Vec3;
  /**
   * What the share is of. `casting`: pattern = casting × (1 + c), as most tables of allowances mean it. `pattern`: casting
   * = pattern × (1 − c), as most data sheets of contraction mean it. Default `casting`.
   */
  readonly shareOf: 'casting' | 'pattern';
  /** Faces to be machined. Stock is added to the casting's size, before contraction. Default none. */
  readonly stock: readonly MachiningStock[];
  /** How far rapping widens the mould, mm each way across the draw. Default 0. */
  readonly rapping: number;
  /** The draw, for rapping. Default [0, 0, 1]. */
  readonly direction: Vec3;
  /** Walls of the pattern made thinner than this are told as too thin to print, mm; 0: not looked for. Default 1.2 (common practice, no source). */
  readonly printWall: number;
  /** Sand between its walls thinner than this is told as too thin to stand, mm; 0: not looked for. Default 3 (common practice, no source). */
  readonly standSand: number;
}

/** Defaults of `scalePattern`. */
export const SCALE_PATTERN_DEFAULTS: ScalePatternOptions = Object.freeze({
  contraction: 0,
  shareOf: 'casting',
  stock: Object.freeze([]),
  rapping: 0,
  direction: Object.freeze([0, 0, 1] as const),
  printWall: THIN_WALL_DEFAULTS.printWall,
  standSand: STAND_SAND,
  signal: undefined,
  onProgress: undefined,
});

/** A pattern for the metal. */
export interface ScaledPattern {
  readonly pattern: Pattern;
  /** Factors along the file's axes that allow for contraction. */
  readonly factors: Vec3;
  /** The stock alone, at the casting's size, or `null`. */
  readonly stock: Pattern | null;
  readonly stockMm3: number;
  readonly findings: readonly Finding[];
}

/** See {@link ScalePatternOptions}. @throws OddsideError `bad-number`, `bad-direction`, `bad-option`, `bad-pattern`. */
export async function scalePattern(
  kernel: Kernel,
  pattern: Pattern,
  given?: Partial<ScalePatternOptions>,
): Promise<ScaledPattern> {
  const options = resolveOptions('scalePattern', SCALE_PATTERN_DEFAULTS, given);
  const factors = contractionFactors(options);
  checkNumber('rapping (mm)', options.rapping, { min: 0 });
  checkWallLimits(options);
  checkPattern(pattern);
  const pacer = startPacing(options);
  const findings: Finding[] = [];
  const stocked = await addStock(kernel, pattern, options.stock, findings);
  await pacer.step(0.7);
  let scaled = transformPattern(stocked.pattern, { scale: factors });
  if (options.rapping > 0) scaled = drawIn(scaled, unitVector(options.direction), options.rapping);
  const { signal, printWall, standSand } = options;
  findings.push(...(await checkThinWalls([scaled], { printWall, standSand, signal })));
  pacer.finish();
  return { pattern: scaled, factors, stock: stocked.stock, stockMm3: stocked.stockMm3, findings };
}

function contractionFactors({ contraction, shareOf }: ScalePatternOptions): Vec3 {
  if (shareOf !== 'casting' && shareOf !== 'pattern') {
    throw new OddsideError(
      'bad-option',
      `shareOf must be "casting" or "pattern", but ${JSON.stringify(shareOf)} came.`,
    );
  }
  const shares = typeof contraction === 'number' ? [contraction, contraction, contraction] : [...contraction];
  if (shares.length !== 3) throw new OddsideError('bad-number', 'contraction must be one share or three.');
  const factor = (share: number): number => {
    checkNumber('contraction (a share, 0–0.1)', share, { min: 0, max: 0.1 });
    return shareOf === 'casting' ? 1 + share : 1 / (1 - share);
  };
  return [factor(shares[0]), factor(shares[1]), factor(shares[2])];
}

async function addStock(
  kernel: Kernel,
  pattern: Pattern,
  list: readonly MachiningStock[],
  findings: Finding[],
): Promise<{ pattern: Pattern; stock: Pattern | null; stockMm3: number }> {
  let current = pattern;
  for (const each of list) {
    checkNumber('stock (mm)', each.stock, { min: 0, above: true });
    checkNumber('withinDeg (degrees)', each.withinDeg ?? 5, { min: 0, max: 60 });
    current = await inScope(kernel, async (scope) => thickened(scope, current, each, findings));
  }
  if (current === pattern) return { pattern, stock: null, stockMm3: 0 };
  return inScope(kernel, async (scope) => {
    const before = prepareDraw(scope, pattern, [0, 0, 1]);
    const after = prepareDraw(scope, { ...current, name: pattern.name }, [0, 0, 1]);
    // The two frames differ by where their boxes' middles lie.
    const shift = after.frame.origin.map((c, k) => c - before.frame.origin[k]) as unknown as Vec3;
    const stock = scope.cut(scope.move(after.body, shift), before.body);
    return {
      pattern: { ...current, name: pattern.name, unit: pattern.unit },
      stock: stock.isEmpty() ? null : patternOf(before.frame, stock, `${pattern.name} machining stock`),
      stockMm3: stock.volume(),
    };
  });
}

function thickened(scope: Scope, pattern: Pattern, stock: MachiningStock, findings: Finding[]): Pattern {
  const normal = unitVector(stock.normal, 'The normal of the faces to machine');
  const draw = prepareDraw(scope, pattern, normal);
  const least = Math.cos(radians(stock.withinDeg ?? 5));
  const from = (stock.from ?? -Infinity) - draw.frame.base;
  const faces = draw.sides.up.filter((t) => looksUp(draw.mesh, t, least, from));
  const added = thickenFaces(scope, draw.mesh, faces, stock.stock);
  if (!added) {
    findings.push({
      code: 'no-face-to-machine',
      severity: 'warning',
      message: `No face looks along [${normal.map((c) => c.toFixed(3)).join(', ')}] within ${stock.withinDeg ?? 5}°, so no stock was added there.`,
      remedy: 'Check the normal, or allow more degrees.',
    });
    return pattern;
  }
  return patternOf(draw.frame, scope.unite([draw.body, added]), pattern.name);
}

function looksUp({ points: p, triangles }: FramedMesh, t: number, leastCosine: number, from: number): boolean {
  const [a, b, c] = [3 * triangles[3 * t], 3 * triangles[3 * t + 1], 3 * triangles[3 * t + 2]];
  const [ux, uy, uz] = [p[b] - p[a], p[b + 1] - p[a + 1], p[b + 2] - p[a + 2]];
  const [vx, vy, vz] = [p[c] - p[a], p[c + 1] - p[a + 1], p[c + 2] - p[a + 2]];
  const nz = ux * vy - uy * vx;
  const size = Math.hypot(uy * vz - uz * vy, uz * vx - ux * vz, nz);
  return nz >= leastCosine * size * (1 - 1e-6) && Math.max(p[a + 2], p[b + 2], p[c + 2]) >= from - 1e-4;
}

/** The pattern smaller in plan by `rapping` on each side of its box, about the box's middle. */
function drawIn(pattern: Pattern, d: Vec3, rapping: number): Pattern {
  const { positions } = pattern;
  const { min, max } = findBounds(positions);
  const middle: Vec3 = [(min[0] + max[0]) / 2, (min[1] + max[1]) / 2, (min[2] + max[2]) / 2];
  let reach = 0;
  for (let i = 0; i < positions.length; i += 3) {
    const p: Vec3 = [positions[i] - middle[0], positions[i + 1] - middle[1], positions[i + 2] - middle[2]];
    const along = dot(p, d);
    reach = Math.max(reach, Math.sqrt(Math.max(0, dot(p, p) - along * along)));
  }
  if (rapping >= reach / 2) {
    throw new OddsideError(
      'bad-number',
      `rapping must be far less than the pattern’s half width (${reach.toFixed(2)} mm), but ${rapping} mm came.`,
    );
  }
  // One factor for the whole plan keeps shapes; the farthest point moves in by the rapping, nearer ones by less.
  const k = 1 - rapping / reach;
  const moved = new Float64Array(positions.length);
  for (let i = 0; i < positions.length; i += 3) {
    const p: Vec3 = [positions[i] - middle[0], positions[i + 1] - middle[1], positions[i + 2] - middle[2]];
    const along = dot(p, d);
    for (let n = 0; n < 3; n++) moved[i + n] = middle[n] + k * (p[n] - along * d[n]) + along * d[n];
  }
  return { ...pattern, positions: moved };
}
