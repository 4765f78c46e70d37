/** Basin, sprue, well, runner, gates and vents as things to cut, with their volumes. */
import type { Working } from '@oddside/core';
import { diameterOf } from './gravity.js';
import { COMMON_PRACTICE, GEOMETRY } from './references.js';
import { quantity, working } from './result.js';

/** What must be cut; mm, mm² and mm³. */
export interface GatingParts {
  /** `depth` is the metal's, kept full while pouring. */
  readonly basin: { readonly depth: number; readonly areaMm2: number; readonly volumeMm3: number };
  readonly sprue: {
    readonly length: number;
    readonly topDiameter: number;
    readonly exitDiameter: number;
    readonly volumeMm3: number;
  };
  readonly well: { readonly diameter: number; readonly depth: number; readonly volumeMm3: number };
  /** A square section of the runner's area. */
  readonly runner: { readonly side: number; readonly length: number; readonly volumeMm3: number };
  /** Each gate twice as wide as high. */
  readonly gates: {
    readonly count: number;
    readonly width: number;
    readonly height: number;
    readonly length: number;
    readonly volumeMm3: number;
  };
  /** Open vents at the high points, and pricked vents over the cope. */
  readonly vents: {
    readonly openAreaMm2: number;
    readonly openCount: number;
    readonly openDiameter: number;
    readonly wireDiameter: readonly [number, number];
    readonly wireSpacing: readonly [number, number];
    readonly wireStop: readonly [number, number];
  };
}

interface Sizes {
  readonly chokeAreaMm2: number;
  readonly sprueTopAreaMm2: number;
  readonly sprueLength: number;
  readonly basinDepth: number;
  readonly runnerAreaMm2: number;
  readonly runnerLength: number;
  readonly gateAreaMm2: number;
  readonly gates: number;
  readonly gateLength: number;
  readonly flowMm3S: number;
}

/** Seconds of flow that the basin should hold, so that a shaky hand does not empty it. */
const BASIN_SECONDS = 1;
const OPEN_VENT_DIAMETER = 5;

/** Sizes every part of the system from its areas. The proportions are common practice. */
export function gatingParts(s: Sizes): { parts: GatingParts; volumeMm3: number; workings: Working[] } {
  const exitDiameter = diameterOf(s.chokeAreaMm2);
  const topDiameter = diameterOf(s.sprueTopAreaMm2);
  const side = Math.sqrt(s.runnerAreaMm2);
  // The basin holds at least a second of flow and is never narrower than twice the sprue's top.
  const basinArea = Math.max((s.flowMm3S * BASIN_SECONDS) / s.basinDepth, (2 * topDiameter) ** 2);
  const sprueVolume =
    (s.sprueLength / 3) * (s.sprueTopAreaMm2 + s.chokeAreaMm2 + Math.sqrt(s.sprueTopAreaMm2 * s.chokeAreaMm2));
  const well = { diameter: 2 * exitDiameter, depth: 2 * side };
  const each = s.gateAreaMm2 / s.gates;
  const parts: GatingParts = {
    basin: { depth: s.basinDepth, areaMm2: basinArea, volumeMm3: basinArea * s.basinDepth },
    sprue: { length: s.sprueLength, topDiameter, exitDiameter, volumeMm3: sprueVolume },
    well: { ...well, volumeMm3: (Math.PI / 4) * well.diameter ** 2 * well.depth },
    runner: { side, length: s.runnerLength, volumeMm3: s.runnerAreaMm2 * s.runnerLength },
    gates: {
      count: s.gates,
      width: Math.sqrt(2 * each),
      height: Math.sqrt(each / 2),
      length: s.gateLength,
      volumeMm3: s.gateAreaMm2 * s.gateLength,
    },
    vents: {
      openAreaMm2: s.gateAreaMm2,
      openCount: Math.max(1, Math.ceil(s.gateAreaMm2 / ((Math.PI / 4) * OPEN_VENT_DIAMETER ** 2))),
      openDiameter: OPEN_VENT_DIAMETER,
      wireDiameter: [1.5, 3],
      wireSpacing: [20, 40],
      wireStop: [10, 15],
    },
  };
  const volumeMm3 =
    parts.basin.volumeMm3 +
    parts.sprue.volumeMm3 +
    parts.well.volumeMm3 +
    parts.runner.volumeMm3 +
    parts.gates.volumeMm3;
  return {
    parts,
    volumeMm3,
    workings: [
      working(
        'volume of the running system',
        'basin + sprue (frustum) + well + runner + gates',
        [
          quantity('basin', parts.basin.volumeMm3, 'mm³'),
          quantity('sprue', parts.sprue.volumeMm3, 'mm³'),
          quantity('well, twice the choke across and twice the runner deep', parts.well.volumeMm3, 'mm³'),
          quantity('runner', parts.runner.volumeMm3, 'mm³'),
          quantity('gates', parts.gates.volumeMm3, 'mm³'),
        ],
        quantity('system', volumeMm3, 'mm³'),
        GEOMETRY,
      ),
      working(
        'open vents',
        'total open-vent area at least the gate area; wires 1.5–3 mm, 20–40 mm apart, stopping 10–15 mm above the pattern',
        [quantity('gates', s.gateAreaMm2, 'mm²')],
        quantity('open vents', parts.vents.openAreaMm2, 'mm²'),
        COMMON_PRACTICE,
      ),
    ],
  };
}
