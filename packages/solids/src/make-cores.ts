/**
 * Cores for sand that no joint can free: each held place as a core with prints at its mouths (or one print all round a groove), the pattern with the place
 * filled and the prints on it so that the mould gets their seats, and a box in two halves to ram the core in.
 */
import {
  checkNumber, partOfProgress, resolveOptions, startPacing,
  type Finding, type TaskOptions, type Vec3,
} from '@oddside/core'; // prettier-ignore
import type { Pattern } from '@oddside/pattern';
import { STAND_SAND, THIN_WALL_DEFAULTS, checkThinWalls, checkWallLimits } from './check-thin-walls.js';
import { patternOf } from './convert-body.js';
import { checkBoxWish, makeCoreBox, type CoreBox } from './core-box.js';
import { cutCore, type CutCore } from './cut-core.js';
import { outOfFrame, type DrawFrame } from './draw-frame.js';
import { frameJoint } from './frame-joint.js';
import type { Joint } from './joint.js';
import type { Kernel } from './kernel.js';
import { metalAt } from './metal-at.js';
import { inScope, type Scope } from './own-bodies.js';
import { prepareDraw } from './prepare-draw.js';
import { proveDraw, type DrawProof } from './prove-draw.js';
import { wayInFile } from './prove-loose-draw.js';
import { trappedPlaces } from './trapped-places.js';

/** What `makeCores` takes. */
export interface MakeCoresOptions extends TaskOptions {
  /** The joint. Where a print does not draw along it, it is drawn out up or down to the joint. Default none: free-form. */
  readonly joint: Joint | undefined;
  /**
   * Length of every print, mm, 1–1000. Default: as long as the mouth is across, 8 to 80 mm (common practice, no source);
   * with one mouth only, so long that the print outweighs the core beyond it by a quarter.
   */
  readonly printLength: number | undefined;
  /** Taper of prints, degrees a side, 0–30. Default 3 (common practice, no source). */
  readonly taperDeg: number;
  /** Room between the core's prints and their seats, and round the box's dowels, mm, 0–5. Default 0.3 (common practice, no source). */
  readonly clearance: number;
  /** Wall of the core box, mm, 1–200. Default 12 (common practice for a printed or wooden box, no source). */
  readonly boxWall: number;
  /** Make the boxes. Default true. */
  readonly boxes: boolean;
  /** Density of the core sand, kg/m³. Default 1600 (common practice for rammed silica sand, no source). */
  readonly sandDensityKgM3: number;
  /** Places cored, largest first, 1–50. Default 8. */
  readonly places: number;
  /** Places smaller than this share of the pattern are left: they are filled, not cored. 0–1; default 0.001 (common practice, no source). */
  readonly leastShare: number;
  /** Walls thinner than this are told as too thin to print, mm; 0: not looked for. Default 1.2 (common practice, no source). */
  readonly printWall: number;
  /** Sand of the mould, or of a core, thinner than this is told as too thin to stand, mm; 0: not looked for. Default 3 (common practice, no source). */
  readonly standSand: number;
}

/** Defaults of `makeCores`. */
export const MAKE_CORES_DEFAULTS: MakeCoresOptions = Object.freeze({
  joint: undefined,
  printLength: undefined,
  taperDeg: 3,
  clearance: 0.3,
  boxWall: 12,
  boxes: true,
  sandDensityKgM3: 1600,
  places: 8,
  leastShare: 0.001,
  printWall: THIN_WALL_DEFAULTS.printWall,
  standSand: STAND_SAND,
  signal: undefined,
  onProgress: undefined,
});

/** A print of a core, mm in the pattern's coordinates. */
export interface CorePrint {
  /** Middle of the mouth it stands on, and the way out of it; up the draw where the print runs all round. */
  readonly where: Vec3;
  readonly direction: Vec3;
  readonly length: number;
  /** Of the mouth: level across the print, and along the draw. */
  readonly width: number;
  readonly height: number;
}

/** One core. */
export interface Core {
  /** The core with its prints. */
  readonly core: Pattern;
  /** The part that metal flows round, mm³: what it displaces, from which its lift is reckoned. */
  readonly bodyMm3: number;
  /** With its prints, mm³, and as sand, kg. */
  readonly volumeMm3: number;
  readonly massKg: number;
  readonly prints: readonly CorePrint[];
  /** `null` where none was asked for. */
  readonly box: CoreBox | null;
}

/** Cores and the pattern for them, in the pattern's own coordinates: everything lies where it belongs. */
export interface CoresMade {
  /** With the cored places filled and prints on it; the pattern as it came where no core could be made. */
  readonly pattern: Pattern;
  readonly cores: readonly Core[];
  /** The draw of that pattern. */
  readonly proof: DrawProof;
  /** Pattern + cores' bodies + prints = pattern with prints; each mm³. */
  readonly volumes: {
    readonly patternMm3: number;
    readonly coredMm3: number;
    /** Of the prints on the pattern, larger than the cores' by the clearance. */
    readonly printsMm3: number;
    readonly withPrintsMm3: number;
    readonly errorMm3: number;
  };
  readonly findings: readonly Finding[];
}

/** See {@link MakeCoresOptions}. @throws OddsideError `bad-pattern`, `bad-direction`, `bad-number`, `bad-option`. */
export async function makeCores(
  kernel: Kernel,
  pattern: Pattern,
  direction: Vec3,
  given?: Partial<MakeCoresOptions>,
): Promise<CoresMade> {
  const options = resolveOptions('makeCores', MAKE_CORES_DEFAULTS, given);
  checkBoxWish(options);
  checkNumber('taperDeg (degrees)', options.taperDeg, { min: 0, max: 30 });
  checkNumber('sandDensityKgM3 (kg/m³)', options.sandDensityKgM3, { min: 100, max: 10_000 });
  checkNumber('places', options.places, { min: 1, max: 50, whole: true });
  checkNumber('leastShare', options.leastShare, { min: 0, max: 1 });
  if (options.printLength !== undefined) checkNumber('printLength (mm)', options.printLength, { min: 1, max: 1000 });
  checkWallLimits(options);
  const pacer = startPacing(options);
  return inScope(kernel, async (scope) => {
    const draw = prepareDraw(scope, pattern, direction);
    const joint = options.joint ? frameJoint(draw.frame, options.joint) : null;
    const held = trappedPlaces(scope, draw, null)[0]?.places ?? [];
    const patternMm3 = draw.body.volume();
    const wanted = held.slice(0, options.places).filter((place) => place.volume() >= options.leastShare * patternMm3);
    await pacer.step(0.2);
    const findings: Finding[] = [];
    const metal = metalAt(draw.mesh);
    const made: CutCore[] = [];
    for (const place of wanted) {
      const core = cutCore(scope, draw, joint, metal, place, options, findings);
      if (core) made.push(core);
      await pacer.step(0.2 + (0.2 * made.length) / wanted.length);
    }
    const withPrints = scope.unite([draw.body, ...made.flatMap(({ place, seats }) => [place, ...seats])]);
    const name = `${pattern.name} with core prints`;
    const printed = made.length > 0 ? { ...patternOf(draw.frame, withPrints, name), unit: pattern.unit } : pattern;
    const proof = await proveDraw(kernel, printed, direction, {
      joint: options.joint,
      steps: 0,
      ...partOfProgress(options, 0.4, 0.6),
    });
    const cores: Core[] = [];
    for (const core of made) {
      const described = await describeCore(kernel, scope, draw.frame, pattern, core, cores.length + 1, options);
      cores.push(described.core);
      findings.push(...described.findings);
      await pacer.step(0.6 + (0.39 * cores.length) / made.length);
    }
    const { signal, printWall, standSand } = options;
    findings.push(
      ...(await checkThinWalls([printed], { printWall, standSand, signal })),
      ...(await checkThinWalls(
        cores.map(({ core }) => core),
        { ofSand: true, standSand, signal },
      )),
      ...(await checkThinWalls(
        cores.flatMap(({ box }) => (box ? [box.over, box.under] : [])),
        { printWall, signal },
      )),
    );
    const coredMm3 = cores.reduce((sum, core) => sum + core.bodyMm3, 0);
    const withPrintsMm3 = withPrints.volume();
    pacer.finish();
    return {
      pattern: printed,
      cores,
      proof,
      volumes: {
        patternMm3,
        coredMm3,
        printsMm3: made.length > 0 ? withPrintsMm3 - patternMm3 - coredMm3 : 0,
        withPrintsMm3,
        errorMm3: draw.errorMm3,
      },
      findings: [...findings, ...proof.findings],
    };
  });
}

async function describeCore(
  kernel: Kernel,
  scope: Scope,
  frame: DrawFrame,
  pattern: Pattern,
  { core, place, prints }: CutCore,
  number: number,
  options: MakeCoresOptions,
): Promise<{ core: Core; findings: Finding[] }> {
  const solid = { ...patternOf(frame, core, `${pattern.name} core ${number}`), unit: pattern.unit };
  const longest = prints.reduce((a, b) => (b.length * b.mouth.areaMm2 > a.length * a.mouth.areaMm2 ? b : a));
  const { way, face, middle, ring } = longest.mouth;
  const out = wayInFile(frame, way);
  const end = face + longest.length - (middle[0] * way[0] + middle[1] * way[1]);
  const where = outOfFrame(frame, middle[0] + end * way[0], middle[1] + end * way[1], middle[2]);
  // A ring has no end to be rammed from, and what it runs round would fall out of a box open above.
  const opening = ring ? null : { where, direction: out };
  const aside = ring ? frame.u : wayInFile(frame, [-way[1], way[0], 0]);
  const made = options.boxes ? await makeCoreBox(kernel, scope, solid, [frame.d, aside, out], opening, options) : null;
  const volumeMm3 = core.volume();
  return {
    core: {
      core: solid,
      bodyMm3: place.volume(),
      volumeMm3,
      massKg: volumeMm3 * 1e-9 * options.sandDensityKgM3,
      prints: prints.map(({ mouth, length }) => ({
        where: outOfFrame(frame, ...mouth.middle),
        direction: wayInFile(frame, mouth.way),
        length,
        width: mouth.width,
        height: mouth.height,
      })),
      box: made?.box ?? null,
    },
    findings: made?.findings ?? [],
  };
}
