/**
 * What must be made? Sound solids, split patterns, follow boards, loose pieces, mould halves, and the proof that they draw.
 *
 * @packageDocumentation
 */
export type { Joint, LevelJoint, SurfaceJoint, TiltedJoint } from './joint.js';
export { openSolids, type Solids } from './open-solids.js';
export { MAKE_SOLID_DEFAULTS, type MakeSolidOptions, type SolidMade } from './make-solid.js';
export {
  PROVE_DRAW_DEFAULTS,
  type DrawProof,
  type HalfProof,
  type ProveDrawOptions,
  type RappedSand,
} from './prove-draw.js';
export type { SandPlace } from './list-places.js';
export { FILL_BACK_DRAFT_DEFAULTS, type FillBackDraftOptions, type FilledPattern } from './fill-back-draft.js';
