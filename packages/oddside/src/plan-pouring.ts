/** From the laid pattern to the pour: sand, gating, feeder, lift, heat. Numbers from the mesh meet the foundry's rules. */
import type { JobPour, JobSand } from '@oddside/card';
import type { Vec3 } from '@oddside/core';
import {
  copeLift,
  meltHeat,
  planMetal,
  planPour,
  sandForFlask,
  sandMargins,
  shakeOutTime,
  weightCope,
  type Alloy,
  type MetalPlan,
} from '@oddside/foundry';
import { CELL_BOTTOM, CELL_STRIDE, CELL_TOP, castColumns } from '@oddside/parting';
import type { Pattern } from '@oddside/pattern';

/** What is known of the casting once the pattern is laid. */
export interface LaidCasting {
  readonly alloy: Alloy;
  /** At pattern size, joint at height 0, cope drawn along +z. */
  readonly laid: Pattern;
  readonly size: Vec3;
  readonly copeDepth: number;
  readonly dragDepth: number;
  readonly castingVolumeMm3: number;
  readonly castingVolumeErrorMm3: number;
  readonly castingAreaMm2: number;
  readonly yieldFraction: number | undefined;
  readonly crucibleNumber: number | undefined;
}

/** Columns across the shadow for the volumes of the two halves. */
const COLUMNS = 256;

/** Plans sand, pour and metal. The metal follows from the sized system, or from the caller's own yield. */
export function planPouring(casting: LaidCasting): { metal: MetalPlan; pour: JobPour; sand: JobSand } {
  const { alloy, castingVolumeMm3, castingVolumeErrorMm3, castingAreaMm2, crucibleNumber } = casting;
  const about = { alloy, castingVolumeMm3, volumeErrorMm3: castingVolumeErrorMm3, crucibleNumber };
  const castingMassKg = castingVolumeMm3 * alloy.densityKgM3.value * 1e-9;
  const halves = cavityHalves(casting.laid);
  const sand = sandOf(casting, castingMassKg, halves);
  const plan = planPour({
    ...about,
    castingAreaMm2,
    // A plate's section is twice its modulus; a lump fills sooner than its plate, so this errs to the slow side.
    section: (2 * castingVolumeMm3) / castingAreaMm2,
    castingHeight: casting.copeDepth + casting.dragDepth,
    copeCavityHeight: casting.copeDepth,
    copeDepth: sand.copeHeight,
  });
  const { yieldFraction } = casting;
  const metal = yieldFraction === undefined ? plan.metal : planMetal({ ...about, yieldFraction });
  const { parts } = plan.gating;
  const lift = copeLift({
    alloy,
    metalHeight: sand.copeHeight + parts.basin.depth,
    shadowAreaMm2: halves.shadowAreaMm2,
    copeCavityVolumeMm3: halves.underRoofMm3,
    channels: [
      { areaMm2: parts.runner.side * parts.runner.length },
      { areaMm2: parts.gates.count * parts.gates.width * parts.gates.length },
    ],
  });
  const weights = weightCope({ liftN: lift.liftN, copeMassKg: sand.sand.cope.countedMassKg });
  const pouringC = alloy.pouringLightC.value;
  const heat = meltHeat({ alloy, massKg: metal.chargeMassKg.value, pouringC });
  const shakeOut = shakeOutTime({ alloy, volumeMm3: castingVolumeMm3, coolingAreaMm2: castingAreaMm2 });
  return { metal, pour: { plan, lift, weights, heat, shakeOut }, sand };
}

interface Halves {
  readonly shadowAreaMm2: number;
  /** Between the joint and the cope's roof; less where the roof has been coped down below the joint. */
  readonly underRoofMm3: number;
  /** What the pattern takes out of cope and drag with a flat joint. */
  readonly copeMm3: number;
  readonly dragMm3: number;
}

function cavityHalves(laid: Pattern): Halves {
  const field = castColumns(laid, [0, 0, 1], COLUMNS);
  const { cells, column, origin } = field;
  let hit = 0;
  let roof = 0;
  let cope = 0;
  let drag = 0;
  for (let i = 0; i < cells.length; i += CELL_STRIDE) {
    if (cells[i + CELL_TOP] === -Infinity) continue;
    const top = cells[i + CELL_TOP] + origin[2];
    const bottom = cells[i + CELL_BOTTOM] + origin[2];
    hit++;
    roof += top;
    cope += Math.max(0, top) - Math.max(0, bottom);
    drag += Math.max(0, -bottom) - Math.max(0, -top);
  }
  const area = column * column;
  return {
    shadowAreaMm2: hit * area,
    underRoofMm3: Math.max(0, roof * area),
    copeMm3: cope * area,
    dragMm3: drag * area,
  };
}

function sandOf(casting: LaidCasting, castingMassKg: number, halves: Halves): JobSand {
  const margins = sandMargins({ castingMassKg });
  const flask = {
    flaskLength: casting.size[0] + 2 * margins.toWall.value,
    flaskWidth: casting.size[1] + 2 * margins.toWall.value,
    copeHeight: casting.copeDepth + margins.above.value,
    dragHeight: casting.dragDepth + margins.below.value,
  };
  const sand = sandForFlask({
    length: flask.flaskLength,
    width: flask.flaskWidth,
    copeDepth: flask.copeHeight,
    dragDepth: flask.dragHeight,
    copeCavityMm3: halves.copeMm3,
    dragCavityMm3: halves.dragMm3,
    castingMassKg,
  });
  return { margins, ...flask, sand };
}
