/**
 * What must be melted and poured: alloys, contraction, charge, gating, feeding, lift, sand and heat. Numbers only, no mesh.
 *
 * @packageDocumentation
 */
export * from './alloys/alloy.js';
export * from './alloys/elements.js';
export { findAlloy } from './alloys/find-alloy.js';
export * from './alloys/list.js';
export * from './casting-yield.js';
export * from './caution.js';
export * from './cautions.js';
export type { ChargeLine } from './charge-by-element.js';
export * from './contraction.js';
export * from './crucible.js';
export type { MetalVerdict, ShortPourRisk } from './judge-metal.js';
export { type LossOverrides, meltLosses } from './melt-loss.js';
export * from './plan-metal.js';
export type { DefaultsOf, FoundryResult, SourcedRange } from './result.js';
