import { describe, expect, it } from 'vitest';
import {
  boxCentre,
  castColumns,
  makeScratch,
  upwardCrossings,
  CELL_BOTTOM,
  CELL_STRIDE,
  CELL_TOP,
} from '@oddside/parting';
import { cross, dot, length, type Vec3 } from '@oddside/core';
import * as s from '../helpers/shapes.js';

const Z: Vec3 = [0, 0, 1];

describe('castColumns', () => {
  it('makes a right-handed frame across the draw and covers the whole shadow', () => {
    for (const draw of [Z, [1, 0, 0], [1, -2, 0.3], [-1, -1, -1]] as Vec3[]) {
      const mesh = s.pinnedStairs();
      const field = castColumns(s.asPattern(mesh), draw, 50);
      expect(length(field.direction)).toBeCloseTo(1, 14);
      cross(field.u, field.v).forEach((c, i) => expect(c).toBeCloseTo(field.direction[i], 14));
      expect(Math.max(field.nu, field.nv)).toBe(50);
      for (let i = 0; i < mesh.positions.length; i += 3) {
        const at: Vec3 = [0, 1, 2].map((k) => mesh.positions[i + k] - field.origin[k]) as unknown as Vec3;
        expect(Math.abs((dot(at, field.u) - field.u0) / field.column - (field.nu - 1) / 2)).toBeLessThanOrEqual(
          field.nu / 2 + 1e-9,
        );
        expect(Math.abs((dot(at, field.v) - field.v0) / field.column - (field.nv - 1) / 2)).toBeLessThanOrEqual(
          field.nv / 2 + 1e-9,
        );
        expect(dot(at, field.direction)).toBeLessThanOrEqual(field.highest);
        expect(dot(at, field.direction)).toBeGreaterThanOrEqual(field.lowest);
      }
    }
  });

  it('the heights of a slope are those of its plane', () => {
    // A wedge: z from 0 to x over [0, 2].
    const wedge = s.extrudeAlongY(
      [
        [0, 0],
        [2, 0],
        [2, 2],
      ],
      1,
    );
    const field = castColumns(s.asPattern(wedge), Z, 40);
    for (let row = 0; row < field.nv; row++) {
      for (let k = 0; k < field.nu; k++) {
        const i = (row * field.nu + k) * CELL_STRIDE;
        if (field.cells[i + CELL_TOP] === -Infinity) continue;
        const x =
          field.origin[0] + (field.u0 + k * field.column) * field.u[0] + (field.v0 + row * field.column) * field.v[0];
        expect(field.cells[i + CELL_TOP] + field.origin[2]).toBeCloseTo(x, 9);
        expect(field.cells[i + CELL_BOTTOM] + field.origin[2]).toBeCloseTo(0, 9);
      }
    }
  });

  it('counts one stretch of metal through a block and two where a slot divides it', () => {
    const field = castColumns(s.asPattern(s.lippedChannel()), Z, 60);
    const counts = new Set<number>();
    for (let i = 0; i < field.cells.length; i += 4) counts.add(upwardCrossings(field.cells[i + 3]));
    expect([...counts].sort()).toEqual([0, 1, 2]);
  });

  it('a scratch can be used again and again, for finer and coarser grids', () => {
    const pattern = s.asPattern(s.blockyMug());
    const scratch = makeScratch(pattern);
    for (const columns of [40, 100, 20, 100]) {
      const field = castColumns(pattern, [1, 2, 3], columns, scratch);
      const fresh = castColumns(pattern, [1, 2, 3], columns);
      expect(field.cells).toEqual(fresh.cells);
      expect(field.nu * field.nv * CELL_STRIDE).toBe(field.cells.length);
    }
  });

  it('a mesh that is flat, edge on or a single point away from the origin does not break', () => {
    const sheet = { positions: Float64Array.of(0, 0, 5, 1, 0, 5, 0, 1, 5), triangles: Uint32Array.of(0, 1, 2) };
    expect(castColumns(s.asPattern(sheet), Z, 20).nu).toBeGreaterThan(0);
    const edgeOn = castColumns(s.asPattern(sheet), [1, 0, 0], 20);
    expect(edgeOn.column).toBeGreaterThan(0);
    const point = { positions: Float64Array.of(3, 4, 5, 3, 4, 5, 3, 4, 5), triangles: Uint32Array.of(0, 1, 2) };
    const field = castColumns(s.asPattern(point), Z, 20);
    expect(field.cells.every((value, i) => value === [-Infinity, Infinity, 0, 0][i % 4])).toBe(true);
  });

  it('corners on column axes and triangles thinner than rounding neither leak nor count twice', () => {
    // Coordinates in whole columns and halves hit axes exactly, as often as they can, at every turn of the frame.
    const field = castColumns(s.asPattern(s.box()), Z, 64);
    const at = (k: number, row: number): s.Point => {
      const [a, b] = [field.u0 + k * field.column, field.v0 + row * field.column];
      return [a * field.u[0] + b * field.v[0], a * field.u[1] + b * field.v[1], 0];
    };
    const build = new s.MeshBuilder();
    const random = s.seededRandom(3);
    const rings: number[][] = [];
    for (const z of [0, 1]) {
      rings.push(
        [...Array(40).keys()].map((i) => {
          const [x, y] = at(5 + i, 8 + Math.round(3 * Math.sin(i)));
          return build.corner(x, y, z + (z ? random() : 0));
        }),
      );
      rings.push(
        [...Array(40).keys()].map((i) => {
          const [x, y] = at(5 + i, 40 + Math.round(3 * Math.cos(i)));
          return build.corner(x, y, z + (z ? random() : 0));
        }),
      );
    }
    const [lowFront, lowBack, highFront, highBack] = rings;
    for (let i = 0; i < 39; i++) {
      build.quad(lowFront[i], lowBack[i], lowBack[i + 1], lowFront[i + 1]);
      build.quad(highFront[i], highFront[i + 1], highBack[i + 1], highBack[i]);
      build.quad(lowFront[i], lowFront[i + 1], highFront[i + 1], highFront[i]);
      build.quad(lowBack[i + 1], lowBack[i], highBack[i], highBack[i + 1]);
    }
    build.quad(lowFront[0], highFront[0], highBack[0], lowBack[0]);
    build.quad(lowFront[39], lowBack[39], highBack[39], highFront[39]);
    const mesh = build.build();
    expect(s.edgesOf(mesh).unbalanced).toBe(0);
    for (const columns of [32, 39, 64, 78, 117, 195]) {
      const cells = castColumns(s.asPattern(mesh), Z, columns).cells;
      for (let i = 3; i < cells.length; i += 4) {
        expect([0, 2 ** 21]).toContain(cells[i]);
        if (cells[i] > 0) expect(cells[i - 3] - cells[i - 2] - cells[i - 1]).toBe(0);
      }
    }
  });

  it('boxCentre is the middle of the box, and the origin for no corners', () => {
    expect(boxCentre(Float64Array.of(1, 2, 3, 5, 2, 1))).toEqual([3, 2, 2]);
    expect(boxCentre(new Float64Array(0))).toEqual([0, 0, 0]);
  });
});
