/** Everything the tests and benches build their meshes with. */
export * from './cells.js';
export * from './extrude.js';
export * from './mesh.js';
export * from './oracles.js';
export * from './random.js';
export * from './refine.js';
export * from './revolve.js';
export * from './solids.js';
export * from './transforms.js';
