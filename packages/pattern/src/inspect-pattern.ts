/** Looks a pattern over. */
import { gravestFirst, plainNumber, type Finding } from '@oddside/core';
import { checkPattern } from './check-pattern.js';
import { classifyEdges, type EdgeCounts } from './classify-edges.js';
import { countDuplicates, type DuplicateCounts } from './count-duplicates.js';
import type { Inspection } from './inspection.js';
import { labelShells } from './label-shells.js';
import { hasRepeatedCorner, listEdges, nextHalfEdge } from './list-edges.js';
import type { Pattern } from './pattern.js';
import { traceOpenLoops, type OpenLoop } from './trace-open-loops.js';

/**
 * Finds out whether a pattern is closed and consistent, and what is wrong with it if not.
 *
 * Cost: O(m); about 0.5 s for 870,000 triangles, so it runs in one go. The pairs of triangles that cut each other take a
 * search of their own: see `inspectPatternFully`.
 *
 * @throws OddsideError `bad-pattern` when the arrays do not make a mesh (index out of range, coordinate not finite).
 */
export function inspectPattern(pattern: Pattern): Inspection {
  checkPattern(pattern);
  const { positions, triangles } = pattern;
  const edges = listEdges(triangles, positions.length / 3);
  const counts = classifyEdges(triangles, edges);
  const duplicates = countDuplicates(triangles, edges);
  const shells = labelShells(triangles, edges).count;
  const loops = traceOpenLoops(triangles, edges);
  const degenerate = countDegenerate(triangles);
  const openLength = lengthOfLoops(pattern, loops);
  const found = findingsOf(pattern, { counts, duplicates, shells, degenerate, openLength, loops });
  return {
    closed: counts.open === 0 && counts.nonManifold === 0,
    consistent: counts.flipped === 0,
    balanced: counts.unbalanced === 0,
    triangles: triangles.length / 3,
    vertices: positions.length / 3,
    edges: edges.count,
    shells,
    openEdges: counts.open,
    openLoops: loops.length,
    openLength,
    nonManifoldEdges: counts.nonManifold,
    flippedEdges: counts.flipped,
    degenerateTriangles: degenerate,
    duplicateTriangles: duplicates.duplicates,
    oppositeTriangles: duplicates.opposite,
    selfIntersections: null,
    findings: gravestFirst(found),
  };
}

function countDegenerate(triangles: Uint32Array): number {
  let count = 0;
  for (let t = 0; t < triangles.length / 3; t++) if (hasRepeatedCorner(triangles, t)) count++;
  return count;
}

function lengthOfLoops(pattern: Pattern, loops: readonly OpenLoop[]): number {
  const { positions, triangles } = pattern;
  let total = 0;
  for (const loop of loops) {
    for (const h of loop.halfEdges) {
      const a = triangles[h] * 3;
      const b = triangles[nextHalfEdge(h)] * 3;
      total += Math.hypot(
        positions[b] - positions[a],
        positions[b + 1] - positions[a + 1],
        positions[b + 2] - positions[a + 2],
      );
    }
  }
  return total;
}

interface Seen {
  readonly counts: EdgeCounts;
  readonly duplicates: DuplicateCounts;
  readonly shells: number;
  readonly degenerate: number;
  readonly openLength: number;
  readonly loops: readonly OpenLoop[];
}

function findingsOf(pattern: Pattern, seen: Seen): Finding[] {
  const { counts, duplicates, shells, degenerate } = seen;
  const findings: Finding[] = [];
  const many = (count: number, one: string, more: string): string => `${count} ${count === 1 ? one : more}`;
  if (counts.open > 0) {
    findings.push({
      code: 'open-edges',
      severity: 'problem',
      message:
        `The surface is not closed: ${many(seen.loops.length, 'hole', 'holes')} with ` +
        `${many(counts.open, 'open edge', 'open edges')}, ${plainNumber(seen.openLength)} mm in all.`,
      where: placeOf(pattern, counts.firstOpen),
      remedy: 'Mend the pattern: holes are closed, and cracks welded.',
    });
  }
  if (counts.nonManifold > 0) {
    findings.push({
      code: 'non-manifold-edges',
      severity: counts.unbalanced === 0 ? 'warning' : 'problem',
      message: `${many(counts.nonManifold, 'edge has', 'edges have')} more than two triangles: skins meet or fins stand out there.`,
      where: placeOf(pattern, counts.firstNonManifold),
      remedy: 'Mend the pattern, or look there: two bodies may only touch.',
    });
  }
  if (counts.flipped > 0) {
    findings.push({
      code: 'flipped-edges',
      severity: 'problem',
      message: `At ${many(counts.flipped, 'edge', 'edges')} the two triangles disagree which side is out.`,
      where: placeOf(pattern, counts.firstFlipped),
      remedy: 'Mend the pattern: triangles are turned to agree.',
    });
  }
  if (duplicates.duplicates > 0) {
    const back = duplicates.opposite > 0 ? `, ${duplicates.opposite} of them facing the other way` : '';
    findings.push({
      code: 'duplicate-triangles',
      severity: 'warning',
      message: `${many(duplicates.duplicates, 'triangle is', 'triangles are')} there more than once${back}.`,
      where: placeOf(pattern, duplicates.first * 3),
      remedy: 'Mend the pattern: extra copies are dropped.',
    });
  }
  if (degenerate > 0) {
    findings.push({
      code: 'degenerate-triangles',
      severity: 'note',
      message: `${many(degenerate, 'triangle has', 'triangles have')} a repeated corner and so no area; they do no harm.`,
      remedy: 'Mending drops them.',
    });
  }
  if (shells > 1) {
    findings.push({
      code: 'several-shells',
      severity: 'note',
      message: `The surface is in ${shells} pieces that do not share an edge.`,
      remedy: 'Check that all belong to the pattern; scans often bring debris along.',
    });
  }
  return findings;
}

/** The middle of a half-edge, as a place to point at. */
function placeOf(pattern: Pattern, h: number): [number, number, number] | undefined {
  if (h < 0) return undefined;
  const { positions, triangles } = pattern;
  const a = triangles[h] * 3;
  const b = triangles[nextHalfEdge(h)] * 3;
  return [
    (positions[a] + positions[b]) / 2,
    (positions[a + 1] + positions[b + 1]) / 2,
    (positions[a + 2] + positions[b + 2]) / 2,
  ];
}
