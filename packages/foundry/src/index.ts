/**
 * What must be melted and poured: alloys, contraction, charge, gating, feeding, lift, sand and heat. Numbers only, no mesh.
 *
 * It runs in a browser without any engine, and a page loads only what it calls: all that one casting job needs is 29 kB
 * gzipped (25.1 kB by brotli), and no function alone takes more than 24 kB (21.2 kB). Everything there is comes to 41 kB
 * (35.6 kB), and to 45 kB (39 kB) with the solver of `planCharge`.
 *
 * @packageDocumentation
 */
export * from './alloys/alloy.js';
export * from './alloys/define-alloy.js';
export * from './alloys/elements.js';
export { findAlloy } from './alloys/find-alloy.js';
export * from './alloys/list.js';
export type { Composition } from './alloys/mixture-density.js';
export * from './casting-tolerance.js';
export * from './casting-yield.js';
export * from './caution.js';
export * from './cautions.js';
export type { ChargeLine } from './charge-by-element.js';
export type { ChargingStep, Deoxidiser } from './charging-order.js';
export * from './contraction.js';
export * from './cope-lift.js';
export type { Core } from './core-lift.js';
export * from './critical-velocity.js';
export * from './crucible.js';
export * from './feeder-rules.js';
export * from './feeding-distance.js';
export * from './fill-mould.js';
export * from './furnaces.js';
export type { GatingParts } from './gating-parts.js';
export * from './gating-ratio.js';
export * from './gravity.js';
export type { MetalVerdict, ShortPourRisk } from './judge-metal.js';
export * from './learn-from-heats.js';
export * from './machining-allowance.js';
export * from './melt-heat.js';
export { type LossOverrides, meltLosses } from './melt-loss.js';
export * from './metal-pressure.js';
export * from './modulus.js';
export * from './mould-constant.js';
export * from './pattern-allowances.js';
export * from './plan-charge.js';
export * from './plan-metal.js';
export * from './plan-pour.js';
export * from './pouring-time.js';
export type { DefaultsOf, FoundryResult, SourcedRange } from './result.js';
export * from './sand-for-flask.js';
export * from './sand-margins.js';
export * from './sand-recipes.js';
export * from './shake-out-time.js';
export * from './shelf-item.js';
export * from './size-feeder.js';
export * from './size-gating.js';
export {
  constantFromTrial,
  SOLIDIFICATION_DEFAULTS,
  type SolidificationOptions,
  type SolidificationResult,
  solidificationTime,
  TRIAL_DEFAULTS,
  type TrialOptions,
  type TrialResult,
} from './solidification-time.js';
export type { ChargePick, MeltElement, Misfit, WeighedCharge } from './weigh-charge.js';
export * from './weight-cope.js';
