/**
 * How does the pattern leave the sand? Back draft, the best flat joint, draft, and advice on which way it should lie.
 *
 * @packageDocumentation
 */
export * from './column-field.js';
export * from './cast-columns.js';
export * from './measure-columns.js';
export * from './measure-draft.js';
export * from './surface-class.js';
export * from './find-wall-sines.js';
export * from './classify-surface.js';
export * from './find-flat-joint.js';
export * from './assess-draw.js';
export * from './sample-directions.js';
export * from './survey-surface.js';
export * from './find-own-axes.js';
export * from './parting-weights.js';
export { NO_LIMITS, type DrawLimits } from './draw-limits.js';
export { NOTHING, pointsOf, scoreDraw, type Criterion, type PartingScale } from './score-draw.js';
export * from './describe-candidate.js';
export type { FacePick } from './pick-face.js';
export { NO_WISHES, type PartingWishes } from './parting-wishes.js';
export * from './advise-options.js';
export * from './parting-advice.js';
export { openPartingThreads, type PartingThreads } from './open-threads.js';
export type { CastBox, CastEngine, CastGrid } from './cast-engine.js';
export type { ColumnTally } from './tally-columns.js';
export * from './advise-partings.js';
export * from './candidate-along.js';
export * from './section-at-height.js';
export * from './estimate-noise.js';
export * from './measure-pillar.js';
export * from './find-shut-offs.js';
export * from './parting-line.js';
export {
  TRACE_IN_PIECES_DEFAULTS,
  TRACE_PARTING_LINE_DEFAULTS,
  tracePartingLine,
  tracePartingLineInPieces,
  type TraceInPiecesOptions,
  type TracePartingLineOptions,
} from './trace-parting-line.js';
export * from './parting-surface.js';
export * from './shape-parting-surface.js';
export * from './dilate-cones.js';
export * from './drafted-hull.js';
export * from './measure-turn.js';
export * from './list-intervals.js';
export * from './count-flasks.js';
export {
  FIT_FLASK_DEFAULTS,
  type FitFlaskOptions,
  fitFlask,
  type FlaskFit,
  type FlaskFits,
  type FlaskSize,
} from './fit-flask.js';
export type { Outline, PlanPoint } from './plan-outline.js';
export * from './flask-share.js';
export * from './share-flask.js';
export * from './find-held-regions.js';
export * from './check-loose-piece.js';
export * from './suggest-remedies.js';
export * from './required-draft.js';
export * from './measure-faces.js';
export * from './find-shallow-regions.js';
export * from './joint-ladder.js';
export * from './find-voids.js';
export { findWitness, heldRoundDeg, type MetalBall, type Witness, type WitnessFound } from './find-witness.js';
export type { FacingSums } from './sum-facing.js';
export type { ReentrantEdges } from './reentrant-edges.js';
export {
  type DrawRuling,
  readyRuling,
  RULE_OUT_DEFAULTS,
  type RuledDraw,
  type RuledDraws,
  type RuledOutBy,
  ruleOutDraw,
  ruleOutDraws,
  type RuleOutOptions,
} from './rule-out-draws.js';
export * from './prove-held.js';
export * from './prove-no-draw.js';
export type { OtherWayUp, PartingCandidate } from './make-candidate.js';
export type { CandidateJoint } from './figure-joint.js';
export type { SideFigures } from './which-side-up.js';
export type { BoundaryLoop } from './trace-shadow-boundary.js';
