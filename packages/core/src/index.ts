/**
 * What every Oddside package shares: units, vectors, findings, errors, task pacing and plain formatting.
 *
 * @packageDocumentation
 */
export * from './convert-sentence.js';
export * from './error.js';
export * from './finding.js';
export * from './for-each-stretch.js';
export * from './format.js';
export * from './nearest-names.js';
export * from './options.js';
export * from './pacing.js';
export * from './run-steps.js';
export * from './start-thread.js';
export * from './steady-trig.js';
export * from './sum.js';
export * from './units.js';
export * from './vectors.js';
export * from './working.js';
