/**
 * What does the founder take to the bench? The mould card and the pictures in it.
 *
 * @packageDocumentation
 */
export * from './base64.js';
export * from './corner-normals.js';
export * from './draft-map.js';
export * from './encode-picture.js';
export * from './job.js';
export * from './job-json.js';
export * from './lay-out-mould.js';
export * from './look-along.js';
export * from './make-scene.js';
export * from './picture.js';
export * from './read-job.js';
export * from './read-scene.js';
export * from './render-mould-card.js';
export type { ViewLine } from './paint-lines.js';
export type { ToneAt } from './paint-surface.js';
export * from './render-templates.js';
export * from './template-to-dxf.js';
export * from './render-view.js';
export * from './scene.js';
export * from './tones.js';
export * from './words.js';
