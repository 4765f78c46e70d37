/**
 * The whole job in one call: {@link planCasting}. Everything the other packages offer can be imported from them.
 *
 * @packageDocumentation
 */
export * from './casting-job.js';
export * from './made-part.js';
export * from './make-parts.js';
export * from './plan-casting.js';
export * from './plan-options.js';
export * from './summarise-job.js';
export * from './to-json.js';
export * from './write-job.js';
export * from './write-templates.js';
