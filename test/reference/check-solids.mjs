// @ts-check
/**
 * Makes the tools of every clean pattern in a folder, and checks each result by a way other than the one that made it.
 *
 *     npm run check:solids -- <folder> [--only name] [--columns 1024] [--fast]
 *
 * The folder holds mesh files and a MANIFEST.json as `check-patterns.mjs` reads it; a file whose entry has
 * `clean_solid: true` is taken (closed, no face cutting another). It is drawn along the axis of its file that tears least
 * sand. It is filled; and by itself, as it came, split along that draw's level joint (which fills what the halves would
 * tear) and bedded in a follow board. Held to the errors that are stated, and those to 1e-4 of the volume:
 *
 *   errors    the stated error of the halves is less than 1e-4 of the pattern
 *   volumes   pattern + added = cope + drag + holes; block − nest − hollow = board; each mesh encloses what is said of it
 *   closed    filled pattern, halves and board are closed and consistent
 *   columns   the filled pattern and each half have no back draft, as `assessDraw` sees it, which knows no solids
 *   proof     each half comes off along the draw, and nothing collides on the way, as `proveDraw` sees it
 *   board     its face is the joint, to within a column, wherever the pattern is not; it is nowhere under the joint
 *
 * `--fast` leaves the proof out. Prints one line a file; exits with 1 when anything is off.
 */
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { dot } from '@oddside/core';
import { inspectPattern, measurePattern, readPattern } from '@oddside/pattern';
import { CELL_BOTTOM, CELL_STRIDE, CELL_TOP, assessDraw, castColumns } from '@oddside/parting';
import { openSolids } from '@oddside/solids';

/** @typedef {import('@oddside/pattern').Pattern} Pattern */
/** @typedef {import('@oddside/core').Vec3} Vec3 */

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: { columns: { type: 'string', default: '1024' }, only: { type: 'string' }, fast: { type: 'boolean' } },
});
const [folder] = positionals;
if (!folder) throw new Error('A folder with a MANIFEST.json was expected: npm run check:solids -- <folder>');
const columns = Number(values.columns);
const solids = await openSolids();

/** @type {Vec3[]} */
const AXES = [
  [0, 0, 1], [0, 0, -1], [0, 1, 0], [0, -1, 0], [1, 0, 0], [-1, 0, 0],
]; // prettier-ignore

/** What one file's checks said. */
class Checks {
  made = 0;
  /** @type {string[]} */
  misses = [];

  /** @param {string} what @param {number} value @param {number} most */
  atMost(what, value, most) {
    this.made++;
    if (!(value <= most)) this.misses.push(`${what}: ${plain(value)}, at most ${plain(most)} expected`);
  }

  /** @param {string} what @param {boolean} holds */
  holds(what, holds) {
    this.made++;
    if (!holds) this.misses.push(what);
  }
}

/** @param {number} value */
const plain = (value) => Number(value.toPrecision(4)).toString();

/** Formats without a unit are read in the one that the manifest names, otherwise in mm. @param {any} entry */
async function read(entry) {
  const path = join(folder, entry.file);
  if (/\.(3mf|glb|gltf)$/i.test(entry.file)) return readPattern(path);
  const named = /^(mm|inch|m)\b/.exec(entry.units ?? '')?.[1] ?? 'mm';
  return readPattern(path, { unit: /** @type {'mm' | 'in' | 'm'} */ (named === 'inch' ? 'in' : named) });
}

/** The axis whose level joint tears least. @param {Pattern} pattern */
function bestDraw(pattern) {
  const assessed = AXES.map((axis) => assessDraw(pattern, axis, { columns: 256 }));
  const torn = (/** @type {import('@oddside/parting').DrawAssessment} */ a) => a.backDraftMm3 + a.flat.misfitMm3;
  return assessed.reduce((best, each) => (torn(each) < torn(best) ? each : best));
}

/** @param {Checks} checks @param {string} what @param {Pattern} solid @param {number} volumeMm3 @param {number} errorMm3 */
function checkSolid(checks, what, solid, volumeMm3, errorMm3) {
  const { closed, consistent } = inspectPattern(solid);
  checks.holds(`${what}: not closed`, closed && consistent);
  checks.atMost(`${what}: volume off, mm³`, Math.abs(measurePattern(solid).volumeMm3 - volumeMm3), errorMm3);
}

/** @param {Checks} checks @param {string} what @param {Pattern} half @param {Vec3} draw @param {number} errorMm3 */
async function checkHalf(checks, what, half, draw, errorMm3) {
  checks.atMost(`${what}: back draft by columns, mm³`, assessDraw(half, draw, { columns }).backDraftMm3, errorMm3);
  if (values.fast) return;
  const proof = await solids.proveDraw(half, draw, { steps: 4 });
  checks.atMost(`${what}: torn by the proof, mm³`, proof.trappedMm3, proof.errorMm3);
  const worst = Math.max(...proof.held.steps.map(({ collisionMm3 }) => collisionMm3));
  checks.atMost(`${what}: collision on the way, mm³`, worst, proof.errorMm3);
}

/**
 * The board's face against the joint, column by column: nowhere under it, and on it outside the pattern's box in plan.
 *
 * @param {Checks} checks @param {Pattern} board @param {Pattern} pattern @param {Vec3} draw @param {number} height
 */
function checkFace(checks, board, pattern, draw, height) {
  const field = castColumns(board, draw, 256);
  const base = dot(field.origin, field.direction);
  const { u, v, origin, column, nu, cells } = field;
  const box = { u: [Infinity, -Infinity], v: [Infinity, -Infinity] };
  for (let i = 0; i < pattern.positions.length; i += 3) {
    const [x, y, z] = pattern.positions.subarray(i, i + 3);
    const place = /** @type {Vec3} */ ([x - origin[0], y - origin[1], z - origin[2]]);
    for (const [name, axis] of /** @type {const} */ ([
      ['u', u],
      ['v', v],
    ])) {
      // prettier-ignore
      box[name][0] = Math.min(box[name][0], dot(place, axis));
      box[name][1] = Math.max(box[name][1], dot(place, axis));
    }
  }
  let [under, off, outside] = [0, 0, 0];
  for (let k = 0; k * CELL_STRIDE < cells.length; k++) {
    if (cells[k * CELL_STRIDE + CELL_TOP] === -Infinity) continue;
    const above = cells[k * CELL_STRIDE + CELL_BOTTOM] + base - height;
    under = Math.max(under, -above);
    const [pu, pv] = [field.u0 + (k % nu) * column, field.v0 + Math.floor(k / nu) * column];
    const beside = pu < box.u[0] - 2 || pu > box.u[1] + 2 || pv < box.v[0] - 2 || pv > box.v[1] + 2;
    if (!beside) continue;
    outside++;
    off = Math.max(off, Math.abs(above));
  }
  checks.atMost('board: under the joint, mm', under, column);
  checks.atMost('board: face off the joint, mm', off, column);
  checks.holds('board: no face beside the pattern', outside > 0);
}

/** @param {any} entry */
async function checkFile(entry) {
  const checks = new Checks();
  const pattern = await read(entry);
  const best = bestDraw(pattern);
  const draw = best.direction;
  const joint = /** @type {const} */ ({ kind: 'level', height: best.flat.height });
  const filled = await solids.fillBackDraft(pattern, draw);
  const volumeMm3 = measurePattern(pattern).volumeMm3;
  checkSolid(checks, 'filled', filled.pattern, volumeMm3 + filled.addedMm3, filled.errorMm3);
  const left = assessDraw(filled.pattern, draw, { columns }).backDraftMm3;
  checks.atMost('filled: back draft by columns, mm³', left, filled.errorMm3);

  const split = await solids.splitPattern(pattern, draw, { joint });
  const { patternMm3, addedMm3, copeMm3, dragMm3, holesMm3, errorMm3 } = split.volumes;
  checks.atMost('split: stated error over volume', errorMm3 / volumeMm3, 1e-4);
  checks.atMost('split: volume lost, mm³', Math.abs(patternMm3 + addedMm3 - copeMm3 - dragMm3 - holesMm3), errorMm3);
  for (const [what, half, halfMm3] of /** @type {const} */ ([
    ['cope', split.cope, copeMm3],
    ['drag', split.drag, dragMm3],
  ])) {
    // prettier-ignore
    if (!half) {
      checks.atMost(`${what}: no half, but a volume, mm³`, halfMm3, errorMm3);
      continue;
    }
    checkSolid(checks, what, half, halfMm3, errorMm3);
    await checkHalf(checks, what, half, draw, errorMm3);
  }

  const made = await solids.followBoard(pattern, draw, { joint });
  const { blockMm3, nestMm3, hollowMm3, boardMm3, errorMm3: boardErrorMm3 } = made.volumes;
  checks.atMost('board: volume lost, mm³', Math.abs(blockMm3 - nestMm3 - hollowMm3 - boardMm3), boardErrorMm3);
  checkSolid(checks, 'board', made.board, boardMm3, boardErrorMm3);
  checkFace(checks, made.board, pattern, draw, best.flat.height);
  return {
    checks,
    triangles: pattern.triangles.length / 3,
    draw,
    share: addedMm3 / volumeMm3,
    errorShare: errorMm3 / volumeMm3,
  };
}

const manifest = JSON.parse(await readFile(join(folder, 'MANIFEST.json'), 'utf8'));
let [misses, made, files] = [0, 0, 0];
console.log(`${'file'.padEnd(30)} triangles  draw       filled     error  checks  off  seconds`);
for (const entry of manifest.files) {
  if (!entry.clean_solid || (values.only && !entry.file.includes(values.only))) continue;
  files++;
  const started = performance.now();
  try {
    const { checks, triangles, draw, share, errorShare } = await checkFile(entry);
    made += checks.made;
    misses += checks.misses.length;
    const seconds = (performance.now() - started) / 1000;
    const cells = [
      entry.file.padEnd(30),
      String(triangles).padStart(9),
      ` ${draw.map((x) => String(Math.round(x))).join(' ')}`.padEnd(10),
      `${(100 * share).toFixed(3)} %`.padStart(9),
      errorShare.toExponential(0).padStart(9),
      String(checks.made).padStart(7),
      String(checks.misses.length).padStart(4),
      seconds.toFixed(1).padStart(8),
    ];
    console.log(cells.join(' '));
    for (const miss of checks.misses) console.log(`    off: ${miss}`);
  } catch (error) {
    made++;
    misses++;
    console.log(`${entry.file.padEnd(30)} not made: ${error instanceof Error ? error.message : String(error)}`);
  }
}
if (files === 0) {
  console.log('No clean file was found there.');
  misses++;
}
console.log(`${files} files, ${made} checks, ${misses} off`);
process.exitCode = misses > 0 ? 1 : 0;
