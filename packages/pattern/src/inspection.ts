/** What an inspection says. */
import type { Finding } from '@oddside/core';

/** What was found on looking a pattern over. Counts are of the pattern as given; nothing is mended. */
export interface Inspection {
  /** True when exactly two triangles meet at every edge: no hole, no fin. */
  readonly closed: boolean;
  /** True when neighbouring triangles agree which side is out. */
  readonly consistent: boolean;
  /** True when every edge is run along equally often both ways, so that the enclosed volume is well defined. */
  readonly balanced: boolean;
  readonly triangles: number;
  readonly vertices: number;
  readonly edges: number;
  /** Pieces that hang together through edges. */
  readonly shells: number;
  /** Edges with only one triangle. */
  readonly openEdges: number;
  /** Holes: chains of open edges. */
  readonly openLoops: number;
  /** Total length of the open edges, mm. */
  readonly openLength: number;
  /** Edges with more than two triangles. */
  readonly nonManifoldEdges: number;
  /** Edges whose two triangles disagree which side is out. */
  readonly flippedEdges: number;
  /** Triangles with a repeated corner. They are left out of all other counts but `triangles`. */
  readonly degenerateTriangles: number;
  /** Extra copies of triangles with the same three corners. */
  readonly duplicateTriangles: number;
  /** Of those, copies that face the other way: two skins back to back. */
  readonly oppositeTriangles: number;
  /** Pairs of triangles that cut each other; `null` until asked for, see `inspectPatternFully`. */
  readonly selfIntersections: number | null;
  /** In plain words, the gravest first. */
  readonly findings: readonly Finding[];
}
