/** Where sprue, runner, gates and feeder may stand round the pattern, and the flask that then holds them. */
import type { MouldCardJob } from './job.js';

/** A rectangle in plan, mm in the laid pattern's coordinates. */
export interface PlanBox {
  readonly left: number;
  readonly right: number;
  readonly front: number;
  readonly back: number;
}

/** A round thing in plan. */
export interface PlanRound {
  readonly x: number;
  readonly y: number;
  readonly diameter: number;
}

/** One arrangement that keeps the sand that was asked for round everything. Coordinates are the laid pattern's, mm. */
export interface MouldLayout {
  /** The box of the pattern. */
  readonly pattern: PlanBox;
  /** The sprue at the joint, and at the top of the cope. */
  readonly sprue: PlanRound;
  readonly sprueTop: PlanRound;
  readonly well: PlanRound;
  readonly runner: PlanBox;
  /** From the runner to the pattern's box. */
  readonly gates: readonly PlanBox[];
  readonly feeder: PlanRound | undefined;
  /** From the feeder to the pattern's box. */
  readonly neck: PlanBox | undefined;
  /** Inside of the flask. */
  readonly flask: PlanBox;
  /** Length of the runner as it is laid out; the plan counted on `countedRunner`. */
  readonly runnerLength: number;
  readonly countedRunner: number;
}

/**
 * Lays out the mould: the runner along the front of the pattern, the sprue at its left end a sprue's distance from the
 * pattern, the gates spread evenly, the feeder at the right. It is one way that fits, not the only one: the heaviest section
 * decides where the feeder really stands.
 */
export function layOutMould(job: MouldCardJob): MouldLayout {
  const [length, width] = job.sizes.pattern;
  const { margins } = job.mould.sand;
  const { gating, feeder } = job.pour.plan;
  const { sprue, well, runner, gates } = gating.parts;
  const pattern = { left: -length / 2, right: length / 2, front: -width / 2, back: width / 2 };

  const runnerBack = pattern.front - gates.length;
  const runnerFront = runnerBack - runner.side;
  const middle = (runnerFront + runnerBack) / 2;
  const x = pattern.left - margins.toSprue.value - sprue.exitDiameter / 2;
  const places = Array.from({ length: gates.count }, (_, i) => pattern.left + ((i + 0.5) * length) / gates.count);
  const last = places[places.length - 1] + gates.width / 2;
  // Past the last gate by twice its own side, so that the first cold metal runs past the gates.
  const runnerBox = { left: x, right: last + 2 * runner.side, front: runnerFront, back: runnerBack };
  const gateBoxes = places.map((at) => ({
    left: at - gates.width / 2,
    right: at + gates.width / 2,
    front: runnerBack,
    back: pattern.front,
  }));
  const fed = feeder && feeder.by !== 'none needed' ? feeder : undefined;
  const feederRound = fed && { x: pattern.right + fed.neck.length + fed.diameter / 2, y: 0, diameter: fed.diameter };
  const neck = fed && {
    left: pattern.right,
    right: pattern.right + fed.neck.length,
    front: -fed.neck.diameter / 2,
    back: fed.neck.diameter / 2,
  };
  const wall = margins.toWall.value;
  const reach = Math.max(well.diameter, sprue.topDiameter) / 2;
  return {
    pattern,
    sprue: { x, y: middle, diameter: sprue.exitDiameter },
    sprueTop: { x, y: middle, diameter: sprue.topDiameter },
    well: { x, y: middle, diameter: well.diameter },
    runner: runnerBox,
    gates: gateBoxes,
    feeder: feederRound,
    neck,
    flask: {
      left: x - reach - wall,
      right: Math.max(runnerBox.right, feederRound ? feederRound.x + feederRound.diameter / 2 : pattern.right) + wall,
      front: Math.min(runnerFront, middle - reach) - wall,
      back: Math.max(pattern.back, feederRound ? feederRound.diameter / 2 : 0) + wall,
    },
    runnerLength: runnerBox.right - runnerBox.left,
    countedRunner: runner.length,
  };
}
