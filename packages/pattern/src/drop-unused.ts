/** Leaves out corners that no triangle uses. */

/** The same mesh with only the corners it uses, in their old order. */
export function dropUnusedCorners(
  positions: Float64Array,
  triangles: Uint32Array,
): { positions: Float64Array; triangles: Uint32Array } {
  const number = new Int32Array(positions.length / 3).fill(-1);
  for (const corner of triangles) number[corner] = 0;
  let used = 0;
  for (let i = 0; i < number.length; i++) if (number[i] === 0) number[i] = used++;
  if (used === number.length) return { positions, triangles };
  const kept = new Float64Array(used * 3);
  for (let i = 0; i < number.length; i++) {
    if (number[i] < 0) continue;
    kept[number[i] * 3] = positions[i * 3];
    kept[number[i] * 3 + 1] = positions[i * 3 + 1];
    kept[number[i] * 3 + 2] = positions[i * 3 + 2];
  }
  const renumbered = new Uint32Array(triangles.length);
  for (let i = 0; i < triangles.length; i++) renumbered[i] = number[triangles[i]];
  return { positions: kept, triangles: renumbered };
}
