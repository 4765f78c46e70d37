/**
 * To and from three: the only part of the package with types of three in its signatures.
 *
 * @packageDocumentation
 */
import { MM_PER_UNIT, OddsideError, resolveOptions } from '@oddside/core';
import { BufferAttribute, BufferGeometry } from 'three';
import { checkPattern } from './check-pattern.js';
import { TriangleCollector } from './collect-triangles.js';
import type { Pattern } from './pattern.js';
import { settleUnit } from './settle-unit.js';

/**
 * The pattern as an indexed geometry in mm, without normals. Coordinates become 32-bit floats.
 *
 * @throws OddsideError `bad-pattern`, `no-triangles`.
 */
export function toBufferGeometry(pattern: Pattern): BufferGeometry {
  checkPattern(pattern);
  const geometry = new BufferGeometry();
  geometry.setAttribute('position', new BufferAttribute(Float32Array.from(pattern.positions), 3));
  geometry.setIndex(new BufferAttribute(pattern.triangles.slice(), 1));
  geometry.name = pattern.name;
  return geometry;
}

/** What {@link fromBufferGeometry} can be told. */
export interface FromGeometryOptions {
  /** Unit of the geometry's numbers. Default mm, with `unit.from` saying that it was assumed. */
  readonly unit?: string;
  /** Default: the geometry's own name. */
  readonly name?: string;
}

/** The defaults of {@link fromBufferGeometry}. */
export const FROM_GEOMETRY_DEFAULTS: Readonly<FromGeometryOptions> = Object.freeze({
  unit: undefined,
  name: undefined,
});

/**
 * A pattern from a geometry of triangles, indexed or not; equal corners are welded. Groups, morphs and the draw range are
 * passed over; the matrix of a mesh is the caller's to apply.
 *
 * @throws OddsideError `no-triangles`, `unknown-unit`, `bad-option`.
 */
export function fromBufferGeometry(geometry: BufferGeometry, options?: FromGeometryOptions): Pattern {
  const { unit: given, name } = resolveOptions('fromBufferGeometry', FROM_GEOMETRY_DEFAULTS, options);
  const position = geometry.getAttribute('position') as BufferAttribute | undefined;
  const count = position?.count ?? 0;
  const order = geometry.getIndex();
  const total = order ? order.count : count;
  const collector = new TriangleCollector(total / 3);
  const positions = new Float64Array(count * 3);
  for (let i = 0; i < count; i++) positions.set([position!.getX(i), position!.getY(i), position!.getZ(i)], i * 3);
  collector.startPart({ positions, count });
  const at = (i: number): number => (order ? order.getX(i) : i);
  for (let i = 0; i + 2 < total; i += 3) collector.add(at(i), at(i + 1), at(i + 2));
  const mesh = collector.finish();
  if (mesh.triangles.length === 0) {
    throw new OddsideError('no-triangles', 'A geometry with triangles was expected, but it has none that can be used.');
  }
  const unit = settleUnit(given, undefined, mesh.findings);
  const factor = MM_PER_UNIT[unit.name];
  return {
    name: name ?? (geometry.name || 'pattern'),
    positions: factor === 1 ? mesh.positions : mesh.positions.map((value) => value * factor),
    triangles: mesh.triangles,
    unit,
    findings: mesh.findings,
  };
}
