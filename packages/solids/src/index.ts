/**
 * What must be made? Sound solids, split patterns, follow boards, loose pieces, mould halves, and the proof that they draw.
 *
 * @packageDocumentation
 */
export type { Joint, LevelJoint, SurfaceJoint, TiltedJoint } from './joint.js';
export { OPEN_SOLIDS_DEFAULTS, openSolids, type OpenSolidsOptions } from './open-solids.js';
export type { Solids } from './solids.js';
export { MAKE_SOLID_DEFAULTS, type MakeSolidOptions, type SolidMade } from './make-solid.js';
export type { NewSkin } from './remesh-solid.js';
export {
  PROVE_DRAW_DEFAULTS,
  type DrawProof,
  type HalfProof,
  type ProveDrawOptions,
  type RappedSand,
} from './prove-draw.js';
export type { SandPlace } from './list-places.js';
export { FILL_BACK_DRAFT_DEFAULTS, type FillBackDraftOptions, type FilledPattern } from './fill-back-draft.js';
export { ADD_DRAFT_DEFAULTS, type AddDraftOptions, type DraftedPattern } from './add-draft.js';
export { jointThroughMetal } from './flip-joint.js';
export {
  SCALE_PATTERN_DEFAULTS,
  type MachiningStock,
  type ScaledPattern,
  type ScalePatternOptions,
} from './scale-pattern.js';
export type { SplitPattern } from './split-pattern.js';
export { SPLIT_PATTERN_DEFAULTS, type SplitPatternOptions } from './split-options.js';
export type { PatternPlate, PlateGuides } from './make-plate.js';
export type { Dowel } from './place-dowels.js';
export type { PrinterBed } from './cut-to-bed.js';
export { FOLLOW_BOARD_DEFAULTS, type FollowBoard, type FollowBoardOptions } from './follow-board.js';
export type { BoardSteps, SteepStep } from './measure-steps.js';
export type { HollowBoard } from './hollow-board.js';
export {
  LOOSE_PIECES_DEFAULTS,
  type LoosePiece,
  type LoosePieces,
  type LoosePiecesOptions,
  type LoosePin,
} from './loose-pieces.js';
export type { SeatKind } from './cut-piece.js';
export { MAKE_CORES_DEFAULTS, type Core, type CorePrint, type CoresMade, type MakeCoresOptions } from './make-cores.js';
export { STAND_SAND, THIN_WALL_DEFAULTS, checkThinWalls, type ThinWallOptions } from './check-thin-walls.js';
export type { CoreBox } from './core-box.js';
export type { SlideProof } from './prove-loose-draw.js';
export { MOULD_HALVES_DEFAULTS, type MouldHalves, type MouldHalvesOptions } from './mould-halves.js';
export type { FeederSize, FlaskSize, GateSize, RunnerSize, SprueSize, VentSize } from './mould-parts.js';
