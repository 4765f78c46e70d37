/** What {@link planCasting} takes. */
import type { LengthUnit, TaskOptions, UnitSystem, Vec3 } from '@oddside/core';
import type { Alloy } from '@oddside/foundry';
import type { DrawLimits, FlaskSize, PartingWeights, PartingWishes } from '@oddside/parting';
import type { PatternFormat } from '@oddside/pattern';

/** Options of a whole plan. Only `alloy` must be given. */
export interface PlanCastingOptions extends TaskOptions {
  /** Id, name or standard number of the alloy, or an alloy of your own. */
  readonly alloy: string | Alloy;
  /** Unit of a file that does not say its own. Without it mm are assumed, with a finding. */
  readonly unit?: LengthUnit;
  /** Format of the file. Default: told from its content. */
  readonly format?: PatternFormat;
  /** What to call the job. Default: the file's name. */
  readonly name?: string;
  /**
   * What the mesh shows. `casting`: the casting as it should be; the pattern is made larger for contraction. `pattern`:
   * the pattern as it will be rammed; the casting comes out smaller. Default `casting`.
   */
  readonly meshIs?: 'casting' | 'pattern';
  /** Longest side of the casting's box as the mesh stands in its file, mm; the mesh is scaled to it. Default: as it is. */
  readonly castingLength?: number;
  /** The cope's draw in the file's coordinates, when you have decided how it lies. Default: the best way found. */
  readonly direction?: Vec3;
  /** Mend a scan that is not sound (holes, cracks, flipped faces) before planning; every step is said. Default true. */
  readonly mend?: boolean;
  /**
   * Flasks at hand, inside sizes in mm: the smallest that fits is named, and why the others do not. Whether one will do is a
   * criterion of the advice; for a depth that must not be passed use `limits`.
   */
  readonly flasks?: readonly FlaskSize[];
  /** Threads to search with besides this one, 0–64. Default 0. */
  readonly threads?: number;
  /** Follow the candidate of this rank. Default 1. */
  readonly way?: number;
  /** Casting mass over metal melted, 0.05–1. Default: typical of the metal. */
  readonly yieldFraction?: number;
  /** Number of the bilge pot at hand. */
  readonly crucibleNumber?: number;
  /** Columns across the shadow, 16–8192. Default 256. */
  readonly columns?: number;
  /** Draws sampled, 50–20 000. Default 1000. */
  readonly samples?: number;
  /** Ways to return at most, 1–20. Default 5. */
  readonly candidates?: number;
  /** Draft asked for, degrees. Default 2. */
  readonly requiredDraftDeg?: number;
  /** Points per criterion of the advice. */
  readonly weights?: Partial<PartingWeights>;
  /** This face down, this axis upright, never mark this face, these will be machined; in the mesh's coordinates, mm as read. */
  readonly wishes?: Partial<PartingWishes>;
  /** Limits no way may pass, at the size of the pattern to ram. Where none keeps within them the plan stops and says by how much. */
  readonly limits?: Partial<DrawLimits>;
  /** Units shown to people. Default `metric`. */
  readonly show?: UnitSystem;
  /** Longest side of the pictures, pixels; 0 makes none. Default 640. */
  readonly picturePx?: number;
}

/** The frozen defaults of {@link PlanCastingOptions}. */
export const PLAN_CASTING_DEFAULTS: {
  readonly [Key in keyof Required<PlanCastingOptions>]: PlanCastingOptions[Key] | undefined;
} = Object.freeze({
  alloy: undefined,
  unit: undefined,
  format: undefined,
  name: undefined,
  meshIs: 'casting',
  castingLength: undefined,
  mend: true,
  flasks: undefined,
  threads: 0,
  direction: undefined,
  way: 1,
  yieldFraction: undefined,
  crucibleNumber: undefined,
  columns: 256,
  samples: 1000,
  candidates: 5,
  requiredDraftDeg: 2,
  weights: undefined,
  wishes: undefined,
  limits: undefined,
  show: 'metric',
  picturePx: 640,
  signal: undefined,
  onProgress: undefined,
});
