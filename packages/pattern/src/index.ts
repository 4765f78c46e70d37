/**
 * What is this object? Read, inspect and measure a casting pattern from its mesh.
 *
 * @packageDocumentation
 */
export { checkPattern } from './check-pattern.js';
export { DECODE_DEFAULTS, decodePattern, type DecodeOptions } from './decode-pattern.js';
export { PATTERN_FORMATS, type PatternFormat } from './detect-format.js';
export { WRITABLE_FORMATS, encodePattern, type WritableFormat } from './encode-pattern.js';
export { estimateNoise, type SurfaceNoise } from './estimate-noise.js';
export { findBounds } from './find-bounds.js';
export { inspectPattern } from './inspect-pattern.js';
export type { Inspection } from './inspection.js';
export { NO_SHELL, labelShells, type ShellLabels } from './label-shells.js';
export { listEdges, nextHalfEdge, type EdgeTable } from './list-edges.js';
export {
  MEASURE_IN_PIECES_DEFAULTS,
  measurePattern,
  measurePatternInPieces,
  type Measures,
} from './measure-pattern.js';
export type { Tensor3 } from './moments.js';
export type { Pattern, PatternUnit } from './pattern.js';
export { READ_DEFAULTS, readPattern, type PatternSource, type ReadOptions } from './read-pattern.js';
export { lookUpSurface, type SurfacePlace } from './look-up-surface.js';
export { BELIEVABLE_SIZE } from './settle-unit.js';
export { MOVE_DEFAULTS, transformPattern, type Move, type Turn } from './transform-pattern.js';
export {
  FULL_INSPECTION_DEFAULTS,
  inspectPatternFully,
  type FullInspection,
  type FullInspectionOptions,
} from './inspect-pattern-fully.js';
export type { Hole } from './describe-loops.js';
export { DEBRIS_SHARE, describeShells, type Shell } from './describe-shells.js';
export { MEND_DEFAULTS, mendPattern, type MendPlan, type Mended } from './mend-pattern.js';
export { NEW_TRIANGLE, type MendStep } from './mend-state.js';
export {
  SECTION_DEFAULTS,
  measureSections,
  type SectionOptions,
  type SectionPlace,
  type Sections,
  type SideSections,
} from './measure-sections.js';
export { THIN_PLACES_DEFAULTS, findThinPlaces, type ThinPlaces, type ThinPlacesOptions } from './find-thin-places.js';
export {
  LIKENESS_DEFAULTS,
  SKETCH_DEFAULTS,
  measureLikeness,
  sketchPattern,
  type LikenessMeasure,
  type LikenessOptions,
  type SketchOptions,
} from './sketch-pattern.js';
export { SIMPLIFY_DEFAULTS, simplifyPattern, type Simplified, type SimplifyOptions } from './simplify-pattern.js';
