/**
 * Where draft is short: the walls of a pattern along a draw, each with its place, its area and the millimetres to add.
 *
 * A wall is a connected patch of faces steeper than any table asks for, cut at sharp edges. Its height in the mould, on
 * the deeper side of the flat joint, and whether metal faces it across the sand decide how much draft it needs.
 */
import { checkNumber, degrees, radians, resolveOptions, type Reference, type Vec3 } from '@oddside/core';
import { checkPattern, listEdges, type Pattern } from '@oddside/pattern';
import type { DrawAssessment } from './assess-draw.js';
import { castColumns } from './cast-columns.js';
import { facesMetal } from './faces-metal.js';
import { mostRequiredDeg, requiredDraft, type DraftPractice } from './required-draft.js';
import { measureFaces, type Faces } from './measure-faces.js';

/** What {@link findShallowRegions} takes. */
export interface ShallowRegionsOptions {
  /** Default `one-off`: 2° outside, 3° inside. */
  readonly practice: DraftPractice;
  /** Regions that need less than this at their far end are passed over, mm. Default 0.2: sanding takes off as much (common practice, no source). */
  readonly leastAdd: number;
  /** Edges sharper than this divide walls, degrees, 5–90. Default 40. */
  readonly sharpEdgeDeg: number;
}

/** Defaults of {@link findShallowRegions}. */
export const SHALLOW_REGIONS_DEFAULTS: ShallowRegionsOptions = Object.freeze({
  practice: 'one-off',
  leastAdd: 0.2,
  sharpEdgeDeg: 40,
});

/** One wall that is short of draft. */
export interface ShallowRegion {
  /** Middle of the faces, in the pattern's coordinates, mm: on a curved wall it may lie off the surface. */
  readonly place: Vec3;
  readonly areaMm2: number;
  /** Height in the mould on the deeper side of the joint, mm. */
  readonly height: number;
  /** True where metal faces the wall across the sand. */
  readonly inside: boolean;
  /** Mean draft by area, and the least of any face, degrees. */
  readonly draftDeg: number;
  readonly leastDraftDeg: number;
  readonly requiredDeg: number;
  /** How much to add at the wall's far end to make up the mean, mm. */
  readonly add: number;
  readonly reference: Reference;
}

/** All walls short of draft along one draw. */
export interface ShallowRegions {
  /** Those that need most first. */
  readonly regions: readonly ShallowRegion[];
  readonly areaMm2: number;
  /** Regions passed over because less than `leastAdd` would do, and their area. */
  readonly passedOver: { readonly regions: number; readonly areaMm2: number };
}

/** Faces of a wall from which it is looked for metal across the sand, at most. */
const PROBES = 25;

/**
 * Finds the walls of a pattern that have less draft than they need.
 *
 * @param assessment Of the same pattern: its direction and flat joint are used.
 * @returns The walls. Cost: the edges of the pattern (about 0.15 s a million triangles) and one cast.
 * @throws OddsideError `bad-option`, `bad-number`, `unknown-name`, `bad-pattern`.
 */
export function findShallowRegions(
  pattern: Pattern,
  assessment: Pick<DrawAssessment, 'direction' | 'flat'>,
  options?: Partial<ShallowRegionsOptions>,
): ShallowRegions {
  const { practice, leastAdd, sharpEdgeDeg } = resolveOptions('findShallowRegions', SHALLOW_REGIONS_DEFAULTS, options);
  checkNumber('leastAdd (mm)', leastAdd, { min: 0 });
  checkNumber('sharpEdgeDeg (degrees)', sharpEdgeDeg, { min: 5, max: 90 });
  checkPattern(pattern);
  const { direction, flat } = assessment;
  const faces = measureFaces(pattern, direction);
  const steepest = Math.sin(radians(mostRequiredDeg(practice)));
  const walls = groupWalls(pattern, faces, steepest, Math.cos(radians(sharpEdgeDeg)));
  const field = castColumns(pattern, direction, 192);
  const regions: ShallowRegion[] = [];
  let passed = 0;
  let passedArea = 0;
  for (const wall of walls) {
    const region = describeWall(wall, faces, flat.height, practice, (face) =>
      facesMetal(field, faces.middles, faces.normals, face),
    );
    if (region.requiredDeg <= region.draftDeg) continue;
    if (region.add >= leastAdd) regions.push(region);
    else {
      passed++;
      passedArea += region.areaMm2;
    }
  }
  regions.sort((a, b) => b.add * b.areaMm2 - a.add * a.areaMm2);
  return {
    regions,
    areaMm2: regions.reduce((sum, region) => sum + region.areaMm2, 0),
    passedOver: { regions: passed, areaMm2: passedArea },
  };
}

/** Connected patches of steep faces, as lists of face numbers. */
function groupWalls(pattern: Pattern, faces: Faces, steepest: number, sameWall: number): number[][] {
  const { triangles, positions } = pattern;
  const count = triangles.length / 3;
  const leader = Int32Array.from({ length: count }, (_, i) => i);
  const find = (start: number): number => {
    let i = start;
    while (leader[i] !== i) {
      leader[i] = leader[leader[i]];
      i = leader[i];
    }
    return i;
  };
  const steep = (face: number): boolean => faces.areas[face] > 0 && Math.abs(faces.sines[face]) < steepest;
  const { halfEdges, starts, count: edges } = listEdges(triangles, positions.length / 3);
  for (let e = 0; e < edges; e++) {
    for (let k = starts[e] + 1; k < starts[e + 1]; k++) {
      const a = Math.floor(halfEdges[k - 1] / 3);
      const b = Math.floor(halfEdges[k] / 3);
      if (!steep(a) || !steep(b)) continue;
      const n = faces.normals;
      const cosine = n[3 * a] * n[3 * b] + n[3 * a + 1] * n[3 * b + 1] + n[3 * a + 2] * n[3 * b + 2];
      if (cosine >= sameWall) leader[find(a)] = find(b);
    }
  }
  const groups = new Map<number, number[]>();
  for (let face = 0; face < count; face++) {
    if (!steep(face)) continue;
    const root = find(face);
    const group = groups.get(root);
    if (group) group.push(face);
    else groups.set(root, [face]);
  }
  return [...groups.values()];
}

function describeWall(
  wall: readonly number[],
  faces: Faces,
  joint: number,
  practice: DraftPractice,
  seesMetal: (face: number) => boolean,
): ShallowRegion {
  let area = 0;
  let sine = 0;
  let least = 1;
  let top = -Infinity;
  let bottom = Infinity;
  const place = [0, 0, 0];
  for (const face of wall) {
    const weight = faces.areas[face];
    area += weight;
    sine += weight * Math.abs(faces.sines[face]);
    least = Math.min(least, Math.abs(faces.sines[face]));
    top = Math.max(top, faces.tops[face]);
    bottom = Math.min(bottom, faces.bottoms[face]);
    for (let k = 0; k < 3; k++) place[k] += weight * faces.middles[3 * face + k];
  }
  const stride = Math.max(1, Math.floor(wall.length / PROBES));
  const probes = wall.filter((_, i) => i % stride === 0);
  const inside = 2 * probes.filter(seesMetal).length > probes.length;
  const height = Math.max(0, top - Math.max(joint, bottom), Math.min(joint, top) - bottom);
  const { draftDeg: requiredDeg, reference } = requiredDraft(height, { practice, inside });
  const draftDeg = degrees(Math.asin(Math.min(1, sine / area)));
  return {
    place: [place[0] / area, place[1] / area, place[2] / area],
    areaMm2: area,
    height,
    inside,
    draftDeg,
    leastDraftDeg: degrees(Math.asin(least)),
    requiredDeg,
    add: Math.max(0, height * (Math.tan(radians(requiredDeg)) - Math.tan(radians(draftDeg)))),
    reference,
  };
}
