/**
 * What is this object? Read, inspect and measure a casting pattern from its mesh.
 *
 * @packageDocumentation
 */
export * from './pattern.js';
