/** The sizes of what is cut into a mould besides the cavity: plain numbers, as a sizing of gates and feeders gives them. */
import { checkNumber, type Vec3 } from '@oddside/core';

/** The sprue, tapering downwards, mm. */
export interface SprueSize {
  readonly topDiameter: number;
  readonly bottomDiameter: number;
  /** The well under it; default none. */
  readonly well?: { readonly diameter: number; readonly depth: number };
  /** Where its axis is; default clear of the cavity by the sand margin, on the side with most room. */
  readonly at?: Vec3;
}

/** The runner along the joint, in the drag, and the gates from it into the cavity, in the cope, mm. */
export interface RunnerSize {
  readonly width: number;
  readonly height: number;
}
export interface GateSize {
  readonly count: number;
  readonly width: number;
  readonly height: number;
}

/** A feeder, mm: a cylinder on the casting. */
export interface FeederSize {
  readonly diameter: number;
  readonly height: number;
  /** Where its axis is; default over the heaviest section that has none yet. */
  readonly at?: Vec3;
}

/** Vents, mm. */
export interface VentSize {
  readonly count: number;
  readonly diameter: number;
}

/** The flask's inside across the draw and the depths of its two halves from the joint, mm. */
export interface FlaskSize {
  readonly length: number;
  readonly width: number;
  readonly copeHeight: number;
  readonly dragHeight: number;
}

/** Checks every size. @throws OddsideError `bad-number`. */
export function checkParts(parts: {
  readonly flask: FlaskSize;
  readonly sprue?: SprueSize;
  readonly runner?: RunnerSize;
  readonly gates?: GateSize;
  readonly feeders: readonly FeederSize[];
  readonly vents?: VentSize;
}): void {
  const size = (what: string, value: unknown): number =>
    checkNumber(`${what} (mm)`, value, { min: 0, above: true, max: 1e5 });
  for (const side of ['length', 'width', 'copeHeight', 'dragHeight'] as const)
    size(`flask.${side}`, parts.flask?.[side]);
  if (parts.sprue) {
    size('sprue.topDiameter', parts.sprue.topDiameter);
    size('sprue.bottomDiameter', parts.sprue.bottomDiameter);
    if (parts.sprue.well) {
      size('sprue.well.diameter', parts.sprue.well.diameter);
      size('sprue.well.depth', parts.sprue.well.depth);
    }
  }
  for (const [name, bar] of [
    ['runner', parts.runner],
    ['gates', parts.gates],
  ] as const) {
    if (!bar) continue;
    size(`${name}.width`, bar.width);
    size(`${name}.height`, bar.height);
  }
  if (parts.gates) checkNumber('gates.count', parts.gates.count, { min: 1, max: 32, whole: true });
  for (const feeder of parts.feeders) {
    size('feeder.diameter', feeder.diameter);
    size('feeder.height', feeder.height);
  }
  if (parts.vents) {
    checkNumber('vents.count', parts.vents.count, { min: 0, max: 64, whole: true });
    size('vents.diameter', parts.vents.diameter);
  }
}
