// @ts-check
/**
 * Compares what the packages say about real files with reference numbers made by other programs.
 *
 *     npm run check:patterns -- <folder> [--columns 1024] [--only name] [--no-draw]
 *
 * The folder holds mesh files and a MANIFEST.json: `files`, each with `file` and `reference` (counts, edges, shells,
 * area, volume, centroid, inertia), and optionally `check_cgal` (cutting pairs, border cycles), `weld_with_tolerance`
 * and `drawability.directions`. What a manifest does not hold is not compared. Lengths there are in file units.
 * Prints a table; exits with 1 when anything is off.
 */
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { MM_PER_UNIT } from '@oddside/core';
import { inspectPatternFully, measurePattern, mendPattern, readPattern } from '@oddside/pattern';
import { assessDraw } from '@oddside/parting';

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: { columns: { type: 'string', default: '1024' }, only: { type: 'string' }, 'no-draw': { type: 'boolean' } },
});
const [folder] = positionals;
if (!folder) throw new Error('A folder with a MANIFEST.json was expected: npm run check:patterns -- <folder>');

/** Checks of one file: what was compared and what was off. */
class Checks {
  made = 0;
  /** @type {string[]} */
  misses = [];
  /** @type {Record<string, number>} worst relative difference by kind */
  worst = {};

  /** @param {string} what @param {unknown} ours @param {unknown} theirs */
  same(what, ours, theirs) {
    if (theirs === undefined || theirs === null) return;
    this.made++;
    if (ours !== theirs) this.misses.push(`${what}: ${String(ours)}, reference ${String(theirs)}`);
  }

  /** @param {string} what @param {number} ours @param {number | undefined} theirs @param {number} within @param {number} scale */
  near(what, ours, theirs, within, scale = 1) {
    if (typeof theirs !== 'number' || !Number.isFinite(theirs)) return;
    this.made++;
    const off = Math.abs(ours - theirs);
    const kind = what.split(' ')[0];
    if (scale > 0) this.worst[kind] = Math.max(this.worst[kind] ?? 0, off / scale);
    if (!(off <= within)) this.misses.push(`${what}: ${ours}, reference ${theirs}, off by ${off}, allowed ${within}`);
  }
}

/** @param {any} entry */
async function checkFile(entry) {
  const checks = new Checks();
  const path = join(folder, entry.file);
  // Formats without a unit are read in mm, so that our mm are their file units.
  const hasUnit = /\.(3mf|glb|gltf)$/i.test(entry.file);
  const pattern = await readPattern(path, hasUnit ? {} : { unit: 'mm' });
  const unit = MM_PER_UNIT[pattern.unit.name];
  const inspection = await inspectPatternFully(pattern);
  const measures = measurePattern(pattern);
  checkCounts(checks, entry, inspection, unit);
  checkMeasures(checks, entry, measures, unit);
  if (entry.weld_with_tolerance) await checkWeld(checks, entry.weld_with_tolerance, pattern, unit);
  if (entry.drawability && !values['no-draw']) checkDraws(checks, entry.drawability, pattern, unit);
  return checks;
}

/** @param {Checks} checks @param {any} entry @param {import('@oddside/pattern').FullInspection} ours @param {number} unit */
function checkCounts(checks, entry, ours, unit) {
  const ref = entry.reference ?? {};
  const unusable = (ref.triangles_with_nonfinite_coordinate ?? 0) + (ref.triangles_with_index_out_of_range ?? 0);
  checks.same('triangles', ours.triangles, ref.triangles === undefined ? undefined : ref.triangles - unusable);
  checks.same('vertices', ours.vertices, ref.unique_vertices_exact_weld);
  checks.same('degenerate', ours.degenerateTriangles, ref.degenerate_triangles_repeated_vertex);
  checks.same('duplicates', ours.duplicateTriangles, ref.duplicate_faces_extra_copies);
  checks.same('edges', ours.edges, ref.edges);
  checks.same('open edges', ours.openEdges, ref.boundary_edges);
  checks.same('non-manifold edges', ours.nonManifoldEdges, ref.nonmanifold_edges);
  checks.same('flipped edges', ours.flippedEdges, ref.edges_two_faces_same_direction);
  checks.same('shells', ours.shells, ref.components_edge_connected);
  checks.same('pinched corners', ours.pinchedCorners, ref.nonmanifold_vertices);
  checks.same('closed', ours.closed, ref.closed_every_edge_has_2_faces);
  checks.same('closed and consistent', ours.closed && ours.consistent, ref.closed_and_consistently_wound);
  checks.same('balanced', ours.balanced, ref.balanced_edges_volume_well_defined);
  checks.near(
    'open length',
    ours.openLength / unit,
    ref.boundary_length,
    1e-9 * (ref.boundary_length ?? 0),
    ref.boundary_length,
  );
  const cgal = entry.check_cgal ?? {};
  checks.same('open loops', ours.openLoops, cgal.border_cycles);
  // Placed parts get their coordinates by arithmetic whose last bit differs between programs, which decides whether
  // parts that touch cut: there only "some" or "none" is compared.
  const placed = /\.(3mf|glb|gltf)$/i.test(entry.file);
  const pairs = cgal.intersecting_triangle_pairs;
  if (placed)
    checks.same('cutting pairs at all', (ours.selfIntersections ?? 0) > 0, pairs === undefined ? undefined : pairs > 0);
  else checks.same('cutting pairs', ours.selfIntersections, pairs);
}

/** @param {Checks} checks @param {any} entry @param {import('@oddside/pattern').Measures} ours @param {number} unit */
function checkMeasures(checks, entry, ours, unit) {
  const ref = entry.reference ?? {};
  const { min, max } = ours.bounds;
  const diagonal = Math.hypot(max[0] - min[0], max[1] - min[1], max[2] - min[2]) / unit;
  for (const k of [0, 1, 2]) {
    checks.near(`bounds min ${k}`, min[k] / unit, ref.bbox_min?.[k], 1e-9 * diagonal, diagonal);
    checks.near(`bounds max ${k}`, max[k] / unit, ref.bbox_max?.[k], 1e-9 * diagonal, diagonal);
  }
  checks.near('area', ours.areaMm2 / unit ** 2, ref.surface_area, 1e-9 * ref.surface_area, ref.surface_area);
  if (entry.clean_solid !== undefined && entry.clean_solid) checks.same('reliable', ours.reliable, true);
  if (ref.balanced_edges_volume_well_defined === false) checks.same('reliable', ours.reliable, false);
  if (!ref.balanced_edges_volume_well_defined || ref.signed_volume === undefined) return;
  const theirs = Math.abs(ref.signed_volume);
  const error = ours.volumeErrorMm3 / unit ** 3;
  const volume = ours.volumeMm3 / unit ** 3;
  checks.near('volume', volume, theirs, Math.max(error, 1e-9 * theirs), ours.reliable ? theirs : 0);
  if (!ours.reliable) return;
  for (const k of [0, 1, 2]) {
    checks.near(`centroid ${k}`, ours.centroid[k] / unit, ref.centroid?.[k], 1e-9 * diagonal, diagonal);
    for (const j of [0, 1, 2]) {
      const tensor = ref.inertia_about_centroid_unit_density;
      const size = tensor ? Math.abs(tensor[0][0] + tensor[1][1] + tensor[2][2]) : 0;
      // The reference may hold an inside-out mesh with its sign.
      const sign = ref.signed_volume < 0 ? -1 : 1;
      checks.near(
        `inertia ${k} ${j}`,
        ours.inertiaMm5[k][j] / unit ** 5,
        tensor ? sign * tensor[k][j] : undefined,
        1e-8 * size,
        size,
      );
    }
  }
}

/** @param {Checks} checks @param {any} ref @param {import('@oddside/pattern').Pattern} pattern @param {number} unit */
async function checkWeld(checks, ref, pattern, unit) {
  const only = { dropCopies: false, debris: 0, orient: false, fill: false };
  const { pattern: welded } = await mendPattern(pattern, { ...only, weld: ref.tolerance * unit });
  const ours = await inspectPatternFully(welded, { cuts: false });
  checks.same('welded: vertices', ours.vertices, ref.vertices);
  checks.same('welded: open edges', ours.openEdges, ref.boundary_edges);
  checks.same('welded: non-manifold edges', ours.nonManifoldEdges, ref.nonmanifold_edges);
  checks.same('welded: degenerate', ours.degenerateTriangles, ref.degenerate_triangles_repeated_vertex);
  checks.same('welded: shells', ours.shells, ref.components_edge_connected);
  checks.same('welded: sound', ours.closed && ours.consistent, ref.closed_and_consistently_wound);
}

/** @param {Checks} checks @param {any} drawability @param {import('@oddside/pattern').Pattern} pattern @param {number} unit */
function checkDraws(checks, drawability, pattern, unit) {
  const trusted = /clean|all numbers/i.test(String(drawability.trust ?? 'clean'));
  for (const [name, ref] of Object.entries(drawability.directions ?? {})) {
    const ours = assessDraw(pattern, ref.direction, { columns: Number(values.columns) });
    const bar = (/** @type {string} */ key, /** @type {number} */ floor) => {
      const steps = ref.convergence?.[key] ?? [];
      const drift = steps.length > 2 ? Math.abs(steps[2] - steps[1]) + Math.abs(steps[1] - steps[0]) / 2 : 0;
      // Both sides sample: theirs at 2048 columns, ours at fewer and elsewhere.
      return 4 * ((ref.error_bar?.[key] ?? 0) + drift) + floor;
    };
    const envelope = ref.envelope_volume;
    const area = ref.shadow_area;
    const allowed = ours.backDraftErrorMm3 / unit ** 3;
    checks.near(`shadow ${name}`, ours.shadowAreaMm2 / unit ** 2, area, bar('shadow_area', 2e-3 * area), area);
    checks.near(
      `envelope ${name}`,
      ours.envelopeMm3 / unit ** 3,
      envelope,
      bar('envelope_volume', 2e-3 * envelope),
      envelope,
    );
    if (!trusted) continue;
    const within = bar('undercut_volume', 1e-3 * ref.undercut_volume + 1e-6 * envelope) + allowed;
    checks.near(`back-draft ${name}`, ours.backDraftMm3 / unit ** 3, ref.undercut_volume, within, envelope);
    checks.near(`intervals ${name}`, ours.meanIntervals * 2, ref.mean_crossings, bar('mean_crossings', 2e-3), 2);
    const misfit = ref.parting_misfit_volume;
    checks.near(
      `misfit ${name}`,
      ours.flat.misfitMm3 / unit ** 3,
      misfit,
      bar('parting_misfit_volume', 3e-3 * misfit + 1e-4 * envelope),
      envelope,
    );
  }
}

const manifest = JSON.parse(await readFile(join(folder, 'MANIFEST.json'), 'utf8'));
let misses = 0;
let made = 0;
console.log(`${'file'.padEnd(34)} checks  off  worst differences (relative)`);
for (const entry of manifest.files) {
  if (values.only && !entry.file.includes(values.only)) continue;
  try {
    const checks = await checkFile(entry);
    made += checks.made;
    misses += checks.misses.length;
    const worst = Object.entries(checks.worst).map(([kind, off]) => `${kind} ${off.toExponential(1)}`);
    console.log(
      `${entry.file.padEnd(34)} ${String(checks.made).padStart(6)} ${String(checks.misses.length).padStart(4)}  ${worst.join(', ')}`,
    );
    for (const miss of checks.misses) console.log(`    off: ${miss}`);
  } catch (error) {
    made++;
    misses++;
    console.log(`${entry.file.padEnd(34)} not read: ${error instanceof Error ? error.message : String(error)}`);
  }
}
console.log(`${made} checks, ${misses} off`);
process.exitCode = misses > 0 ? 1 : 0;
