/**
 * What does the founder take to the bench? The mould card and the pictures in it.
 *
 * @packageDocumentation
 */
export * from './encode-picture.js';
export * from './job.js';
export * from './picture.js';
export * from './render-mould-card.js';
export * from './render-view.js';
export * from './tones.js';
export * from './words.js';
