/** What advice on partings takes. */
import type { TaskOptions, UnitSystem } from '@oddside/core';
import { NO_LIMITS, type DrawLimits } from './draw-limits.js';
import type { FitFlaskOptions, FlaskSize } from './fit-flask.js';
import type { PartingThreads } from './open-threads.js';
import { PARTING_WEIGHTS, type PartingWeights } from './parting-weights.js';
import { NO_WISHES, type PartingWishes } from './parting-wishes.js';

/** What `advisePartings` takes. */
export interface AdvisePartingsOptions extends TaskOptions {
  /**
   * Draws sampled evenly, about so many, 50–20 000, see `sampleDirections`. Default 1000: 981 are, and none is further than
   * 3.0° from one of them, before refinement.
   */
  readonly samples: number;
  /**
   * The sampling runs on a likeness of about so many triangles, the refinement on one of three times as many, and the last
   * ring of it, and all that is said of the candidates, on the pattern itself; 0: everything on the pattern. Default 6000.
   */
  readonly searchTriangles: number;
  /** Columns across the shadow while sampling, 16–512. Default 48. */
  readonly searchColumns: number;
  /**
   * Threads that search besides this one: how many, 0–64, or threads that are open already, see `openPartingThreads`. The
   * outcome is the same bit for bit. Starting them takes some 50 ms, which pays for large scans and many samples. Default 0:
   * none.
   */
  readonly threads: number | PartingThreads;
  /** Columns across the shadow for the candidates that are shown, 2–8192. Default 256. */
  readonly columns: number;
  /** Candidates to return at most, 1–20. Default 5. */
  readonly candidates: number;
  /** Least angle between two candidates' axes, degrees. Default 20. */
  readonly apartDeg: number;
  /** Draft asked for, degrees. Default 2. */
  readonly requiredDraftDeg: number;
  /**
   * Where no candidate leaves the sand, try to prove that none can, see `proveNoDraw`. Default: on patterns of up to 20,000
   * triangles, where it takes well under a second.
   */
  readonly prove: boolean | undefined;
  /** Points per criterion, see {@link PartingWeights}. */
  readonly weights: Partial<PartingWeights>;
  /** What the founder wishes for, see {@link PartingWishes}; a draw that goes against it is not shown. Default: nothing. */
  readonly wishes: Partial<PartingWishes>;
  /** Hard limits, see {@link DrawLimits}; a draw that passes one is not shown. Default: none. */
  readonly limits: Partial<DrawLimits>;
  /** Flasks at hand; with them whether one will do is a criterion. Default: not asked. */
  readonly flasks: readonly FlaskSize[] | undefined;
  /** Sand and room to leave in them, see `fitFlask`. Default: as there. */
  readonly flaskRoom: Partial<FitFlaskOptions> | undefined;
  /** Whether each candidate's parting line and joint are worked out and compared. Default true. */
  readonly joints: boolean;
  /** Units of the sentences; the numbers are always mm. Default `metric`. */
  readonly show: UnitSystem;
}

/** Defaults of `advisePartings`. */
export const ADVISE_PARTINGS_DEFAULTS: AdvisePartingsOptions = Object.freeze({
  samples: 1000,
  searchTriangles: 6000,
  searchColumns: 48,
  threads: 0,
  columns: 256,
  candidates: 5,
  apartDeg: 20,
  requiredDraftDeg: 2,
  prove: undefined,
  weights: PARTING_WEIGHTS,
  wishes: NO_WISHES,
  limits: NO_LIMITS,
  flasks: undefined,
  flaskRoom: undefined,
  joints: true,
  show: 'metric',
  signal: undefined,
  onProgress: undefined,
});
