/** Random solids of unit cells: what a draw tears, what fills it and what each half is can be counted cell by cell. */
import { describe, expect, it } from 'vitest';
import { assessDraw } from '@oddside/parting';
import { openSolids } from '@oddside/solids';
import { seededRandom } from '../helpers/random.js';
import * as s from '../helpers/shapes.js';

const solids = await openSolids();
const SIDE = 3;
const SOLIDS = 100;
/** No look for thin walls: it takes far longer than such solids do. */
const UNLOOKED = { printWall: 0, standSand: 0 } as const;
const AXES = [
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
] as const;

/** Cells along one column, and where its metal begins and ends. */
interface Column {
  readonly full: ReadonlySet<number>;
  readonly low: number;
  readonly high: number;
}

/** Cells grown one from another, so that all hang together by faces. */
function grow(random: () => number): s.Point[] {
  const taken = new Set<number>([Math.floor(random() * SIDE ** 3)]);
  const placeOf = (i: number): s.Point => [i % SIDE, Math.floor(i / SIDE) % SIDE, Math.floor(i / SIDE ** 2)];
  const size = 4 + Math.floor(random() * 16);
  while (taken.size < size) {
    const from = placeOf([...taken][Math.floor(random() * taken.size)]);
    const axis = Math.floor(random() * 3);
    const to = from.map((x, k) => (k === axis ? x + (random() < 0.5 ? -1 : 1) : x));
    if (to.every((x) => x >= 0 && x < SIDE)) taken.add(to[0] + SIDE * (to[1] + SIDE * to[2]));
  }
  return [...taken].map(placeOf);
}

/** True where cells meet in an edge or a corner only: what is inside is then a matter of taste. */
function pinched(cells: readonly s.Point[]): boolean {
  const full = new Set(cells.map(String));
  const has = (x: number, y: number, z: number): boolean => full.has(String([x, y, z]));
  for (let x = -1; x < SIDE; x++) {
    for (let y = -1; y < SIDE; y++) {
      for (let z = -1; z < SIDE; z++) {
        const at = (i: number, j: number, k: number): boolean => has(x + i, y + j, z + k);
        for (const [a, b, c, d] of [
          [at(0, 0, 0), at(1, 1, 0), at(1, 0, 0), at(0, 1, 0)],
          [at(0, 0, 0), at(1, 0, 1), at(1, 0, 0), at(0, 0, 1)],
          [at(0, 0, 0), at(0, 1, 1), at(0, 1, 0), at(0, 0, 1)],
        ]) {
          if (a === b && c === d && a !== c) return true;
        }
      }
    }
  }
  return false;
}

function columnsOf(cells: readonly s.Point[], axis: number): Column[] {
  const columns = new Map<string, Set<number>>();
  for (const cell of cells) {
    const key = String(cell.filter((_, k) => k !== axis));
    columns.set(key, (columns.get(key) ?? new Set()).add(cell[axis]));
  }
  return [...columns.values()].map((full) => ({ full, low: Math.min(...full), high: Math.max(...full) + 1 }));
}

const sumOver = (columns: readonly Column[], of: (column: Column) => number): number =>
  columns.reduce((sum, column) => sum + of(column), 0);

/** Empty cells between the lowest and the highest full one. */
const heldIn = ({ full, low, high }: Column): number[] =>
  Array.from({ length: high - low }, (_, k) => low + k).filter((z) => !full.has(z));

describe(`${SOLIDS} random solids of cells, seed 41`, () => {
  const random = seededRandom(41);
  const list: s.Point[][] = [];
  while (list.length < SOLIDS) {
    const cells = grow(random);
    if (pinched(cells)) continue;
    // Most cells at random hold no sand; three in four of those kept do.
    const holds = columnsOf(cells, list.length % 3).some((column) => heldIn(column).length > 0);
    if (holds || list.length % 4 === 0) list.push(cells);
  }
  const subjects = list.map((cells, n) => ({
    axis: n % 3,
    draw: AXES[n % 3],
    cells,
    columns: columnsOf(cells, n % 3),
  }));

  it('the proof tears, and meets on the way, what the count says, and the columns agree', async () => {
    let torn = 0;
    for (const { draw, cells, columns } of subjects) {
      const pattern = s.asPattern(s.polycube(...cells));
      const depth = Math.max(...columns.map(({ high }) => high)) - Math.min(...columns.map(({ low }) => low));
      const proof = await solids.proveDraw(pattern, draw, { steps: depth });
      const held = sumOver(columns, (column) => heldIn(column).length);
      if (held > 0) torn++;
      expect(Math.abs(proof.held.trappedMm3 - held)).toBeLessThanOrEqual(proof.errorMm3);
      expect(proof.draws).toBe(held === 0);
      // The travels are whole cells: sand in a cell meets metal where a full cell lies so many above it.
      for (const { travel, collisionMm3 } of proof.held.steps) {
        const met = sumOver(
          columns,
          (column) => heldIn(column).filter((z) => column.full.has(z + Math.round(travel))).length,
        );
        expect(Math.abs(collisionMm3 - met)).toBeLessThanOrEqual(proof.errorMm3 + 1e-5);
      }
      const seen = assessDraw(pattern, draw, { columns: 96 });
      expect(Math.abs(seen.backDraftMm3 - held)).toBeLessThanOrEqual(1.6 * seen.backDraftErrorMm3 + 1e-9);
    }
    expect(torn).toBeGreaterThanOrEqual(0.75 * SOLIDS);
  });

  it('along a level joint each half tears what the count says', async () => {
    for (const { draw, cells, columns } of subjects) {
      const proof = await solids.proveDraw(s.asPattern(s.polycube(...cells)), draw, {
        steps: 0,
        joint: { kind: 'level', height: 1.5 },
      });
      const held = (column: Column): number => column.high - column.low - column.full.size;
      const whole = sumOver(columns, (each) => held(each) + Math.max(0, each.low - 1.5, 1.5 - each.high));
      expect(Math.abs(proof.trappedMm3 - whole)).toBeLessThanOrEqual(2 * proof.errorMm3);
      const cope = sumOver(columns, ({ full, high }) => {
        const metal = [...full].reduce((sum, z) => sum + Math.min(1, Math.max(0, z + 1 - 1.5)), 0);
        return Math.max(0, high - 1.5) - metal;
      });
      expect(Math.abs(proof.cope!.trappedMm3 - cope)).toBeLessThanOrEqual(proof.errorMm3);
    }
  });

  it('filled it draws, and each half is all that lies between the joint and its farthest metal', async () => {
    for (const { draw, cells, columns } of subjects) {
      const pattern = s.asPattern(s.polycube(...cells));
      const filled = await solids.fillBackDraft(pattern, draw, UNLOOKED);
      const held = sumOver(columns, (column) => heldIn(column).length);
      expect(Math.abs(filled.addedMm3 - held)).toBeLessThanOrEqual(filled.errorMm3);
      expect((await solids.proveDraw(filled.pattern, draw, { steps: 0 })).draws).toBe(true);
      const { volumes } = await solids.splitPattern(pattern, draw, {
        joint: { kind: 'level', height: 1.5 },
        dowels: 0,
        ...UNLOOKED,
      });
      const cope = sumOver(columns, ({ high }) => Math.max(0, high - 1.5));
      const drag = sumOver(columns, ({ low }) => Math.max(0, 1.5 - low));
      expect(Math.abs(volumes.copeMm3 - cope)).toBeLessThanOrEqual(volumes.errorMm3);
      expect(Math.abs(volumes.dragMm3 - drag)).toBeLessThanOrEqual(volumes.errorMm3);
    }
  });
});
