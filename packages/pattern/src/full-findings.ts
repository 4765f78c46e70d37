/** What a full inspection has to say beyond a glance. */
import { formatVolume, plainNumber, type Finding, type Vec3 } from '@oddside/core';
import type { Hole } from './describe-loops.js';
import type { Shell } from './describe-shells.js';
import type { Inspection } from './inspection.js';
import type { Pattern } from './pattern.js';

interface Details {
  readonly holes: readonly Hole[];
  readonly shellList: readonly Shell[];
  readonly selfIntersections: number | null;
  readonly cutPairs: Uint32Array;
  readonly slivers: number;
  readonly noise: number | null;
  readonly meanEdge: number;
}

/** Sand does not show detail finer than this, mm. Common practice, no source: fine moulding sand has grains of 0.1–0.2 mm. */
const FINEST_DETAIL = 0.2;
/** Triangles that no sand casting needs. Common practice, no source. */
const PLENTY = 400_000;

export function findingsInFull(pattern: Pattern, details: Details, base: Inspection, pinched: Uint32Array): Finding[] {
  const findings: Finding[] = [];
  const add = (finding: Finding): void => void findings.push(finding);
  addCuts(pattern, details, add);
  addShells(details, base, add);
  const large = details.holes.filter((hole) => hole.edges > 3);
  if (large.length > 0) {
    const [hole] = large;
    add({
      code: 'largest-hole',
      severity: 'warning',
      message:
        `The largest hole is ${plainNumber(hole.length)} mm around with an area of ${plainNumber(hole.areaMm2)} mm²` +
        `${hole.unevenness < 0.01 ? ', flat, as if cut off there' : ''}.`,
      where: hole.where,
      remedy: 'See whether it is part of the object or missed by the scanner before it is closed.',
    });
  }
  if (pinched.length > 0) {
    const p = pinched[0] * 3;
    add({
      code: 'pinched-corners',
      severity: 'note',
      message: `At ${pinched.length} corners the surface touches itself in a point.`,
      where: [pattern.positions[p], pattern.positions[p + 1], pattern.positions[p + 2]],
      remedy: 'Harmless for measuring; a union of the bodies removes them.',
    });
  }
  if (details.slivers > 0) {
    add({
      code: 'slivers',
      severity: 'note',
      message: `${details.slivers} triangles are narrower than a thousandth of their length. They do no harm to the measures.`,
    });
  }
  addFineness(details, base, add);
  return findings;
}

function addCuts(pattern: Pattern, { selfIntersections, cutPairs }: Details, add: (finding: Finding) => void): void {
  if (!selfIntersections) return;
  add({
    code: 'self-intersections',
    severity: 'warning',
    message: `${selfIntersections} pairs of triangles cut or touch each other: the surface passes through itself.`,
    where: middleOf(pattern, cutPairs[0]),
    remedy: 'Join the bodies into one (a union). Where only a few triangles of a scan fold over, it does little harm.',
  });
}

function addShells({ shellList }: Details, base: Inspection, add: (finding: Finding) => void): void {
  const voids = shellList.filter((shell) => shell.depth % 2 === 1 && shell.signedVolumeMm3 < 0 && base.balanced);
  if (voids.length > 0) {
    const volume = voids.reduce((sum, shell) => sum - shell.signedVolumeMm3, 0);
    add({
      code: 'enclosed-void',
      severity: 'problem',
      message: `${voids.length} closed voids (${formatVolume(volume)}) lie inside the pattern. No two-part mould can make a void without a core.`,
      where: voids[0].where,
      remedy: 'Fill the voids, or give them a way out and plan a core.',
    });
  }
  const nested = shellList.filter((shell) => shell.depth % 2 === 1 && shell.signedVolumeMm3 > 0);
  if (nested.length > 0) {
    add({
      code: 'nested-bodies',
      severity: 'warning',
      message: `${nested.length} shells lie inside others but face outwards: bodies within bodies, or voids turned over.`,
      where: nested[0].where,
      remedy: 'If they are bodies, join them (a union); if they are voids, turn them.',
    });
  }
  const debris = shellList.filter((shell) => shell.debris);
  if (debris.length > 0) {
    add({
      code: 'debris',
      severity: 'warning',
      message: `${debris.length} of ${shellList.length} shells are so small that they look like dirt of a scan (${debris.reduce((sum, shell) => sum + shell.triangles, 0)} triangles).`,
      where: debris[0].where,
      remedy: 'Mend the pattern: debris is dropped.',
    });
  }
}

function addFineness({ noise, meanEdge }: Details, base: Inspection, add: (finding: Finding) => void): void {
  if (noise !== null && noise > 0.01 * meanEdge && noise < 0.08 * meanEdge) {
    add({
      code: 'scan-noise',
      severity: 'note',
      message: `The surface scatters by about ${plainNumber(noise, 2)} mm about its smooth shape, as scans do.`,
      remedy: noise > FINEST_DETAIL ? 'That is rougher than sand: smooth the scan, or dress the pattern.' : undefined,
    });
  }
  const finer = meanEdge < Math.max(FINEST_DETAIL, noise ?? 0);
  if (base.triangles > PLENTY || (finer && base.triangles > PLENTY / 8)) {
    add({
      code: 'finer-than-needed',
      severity: 'note',
      message: `${base.triangles} triangles with edges of ${plainNumber(meanEdge, 2)} mm on average are more than a sand casting shows.`,
      remedy: `Simplify to within ${plainNumber(FINEST_DETAIL / 2)} mm; everything that follows is faster.`,
    });
  }
}

function middleOf({ positions, triangles }: Pattern, triangle: number): Vec3 {
  const middle = [0, 0, 0];
  for (let k = 0; k < 3; k++) {
    for (let axis = 0; axis < 3; axis++) middle[axis] += positions[triangles[triangle * 3 + k] * 3 + axis] / 3;
  }
  return [middle[0], middle[1], middle[2]];
}
