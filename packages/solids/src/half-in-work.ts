/**
 * One half of a split while it is being made: made, asked whether it holds the dowels, drilled, cut to a bed, read out.
 * Between the questions only plain numbers pass from half to half, so that two kernels can have one half each and the
 * outcome is the same bit for bit as with both in one.
 */
import type { Finding, Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import { checkThinWalls } from './check-thin-walls.js';
import { meshOfBody, patternOf, patternToLookAt } from './convert-body.js';
import { cutToBed, type CutPieces } from './cut-to-bed.js';
import { fillHalves, plainHalves, type HalfMaker } from './fill-half.js';
import { frameColumns } from './frame-columns.js';
import { frameJoint, type FramedJoint } from './frame-joint.js';
import { keptOf, type KeptHalf } from './kept-halves.js';
import type { Body } from './kernel.js';
import type { Scope } from './own-bodies.js';
import {
  dowelBody,
  dowelOf,
  dowelRoom,
  dowelSites,
  type Dowel,
  type DowelSites,
  type DowelWish,
  type PlacedDowel,
} from './place-dowels.js';
import { prepareDraw, type PreparedDraw } from './prepare-draw.js';
import type { SplitPatternOptions } from './split-options.js';

export type HalfSide = 'cope' | 'drag';

/** What is known of a half once it is made. */
export interface HalfMade {
  /** False where the joint passes the pattern by on that side. */
  readonly present: boolean;
  /** 0 where it is not present. */
  readonly volumeMm3: number;
  readonly patternMm3: number;
  readonly readingMm3: number;
  readonly errorMm3: number;
  /** Of a filled cope half on a level joint, for the board; otherwise `null`. */
  readonly kept: KeptHalf | null;
}

/** A half with its holes. */
export interface HalfDrilled {
  readonly volumeMm3: number;
  /** How many pieces and keys it was cut into for a bed. */
  readonly pieces: number;
  readonly keys: number;
  readonly findings: readonly Finding[];
}

/** How a half is read out. */
export interface ReadOut {
  /** How many pieces and keys come before its own, for their names. */
  readonly firstPiece: number;
  readonly firstKey: number;
  /** True where what is printed of it is looked over for thin walls. */
  readonly printed: boolean;
  /** Whose sand is looked over: the half's own, that of the whole pattern, or nobody's. */
  readonly sand: 'half' | 'pattern' | 'none';
}

/** A half read out, in the pattern's coordinates. */
export interface HalfReadOut {
  readonly half: Pattern | null;
  readonly pieces: readonly Pattern[];
  readonly keys: readonly Pattern[];
  readonly thinWalls: readonly Finding[];
  readonly thinSand: readonly Finding[];
}

/** What a half is asked, in this order; wherever its kernel is. */
export interface HalfInWork {
  make(): Promise<HalfMade>;
  /** Places for dowels of the n-th thickness, the thickest first; `null` where there is none any more. */
  sites(n: number): Promise<PlacedDowel[] | null>;
  /** How much of the room of each dowel lies in the half, mm³. */
  holds(dowels: readonly PlacedDowel[]): Promise<number[]>;
  drill(dowels: readonly PlacedDowel[]): Promise<HalfDrilled>;
  /** Dowels for the caller, and as solids. */
  dowels(placed: readonly PlacedDowel[]): Promise<{ dowels: Dowel[]; solids: Pattern[] }>;
  readOut(how: ReadOut): Promise<HalfReadOut>;
}

/** The dowels that a split asks for. */
export function wishOf({ dowels, dowelDiameter, wall, clearance }: SplitPatternOptions): DowelWish {
  return { count: dowels, diameter: dowelDiameter, wall, clearance };
}

/** What both halves share in one kernel. */
export interface SplitInWork {
  readonly scope: Scope;
  readonly pattern: Pattern;
  readonly draw: PreparedDraw;
  readonly joint: FramedJoint;
  readonly maker: HalfMaker;
  readonly options: SplitPatternOptions;
}

/** @throws OddsideError `bad-pattern`, `bad-direction`, `bad-number`, `bad-option`. */
export function beginSplit(scope: Scope, pattern: Pattern, direction: Vec3, options: SplitPatternOptions): SplitInWork {
  const draw = prepareDraw(scope, pattern, direction);
  const joint = frameJoint(draw.frame, options.joint);
  const maker = (options.fill ? fillHalves : plainHalves)(scope, draw, joint);
  return { scope, pattern, draw, joint, maker, options };
}

/** Columns across the pattern on which places for dowels are sought. */
const DOWEL_COLUMNS = 192;

/** A half in this thread's kernel. */
export class HalfHere implements HalfInWork {
  readonly #work: SplitInWork;
  readonly #side: HalfSide;
  #undrilled: Body | null = null;
  #body: Body | null = null;
  #sites: DowelSites | null = null;
  #cut: CutPieces | null = null;

  constructor(work: SplitInWork, side: HalfSide) {
    this.#work = work;
    this.#side = side;
  }

  /** The body as it stands; `null` before it is made, and where it is not present. */
  get body(): Body | null {
    return this.#body;
  }

  async make(): Promise<HalfMade> {
    const { draw, joint, maker, options } = this.#work;
    const made = this.#side === 'cope' ? maker.cope() : maker.drag();
    const { errorMm3, readingMm3 } = draw;
    const volumeMm3 = made.volume();
    // A film as thin as the rounding is no half: the joint then lies in the pattern's own face.
    const present = volumeMm3 > errorMm3;
    if (present) this.#body = this.#undrilled = made;
    const keep = present && this.#side === 'cope' && options.fill && joint.level !== null;
    return {
      present,
      volumeMm3: present ? volumeMm3 : 0,
      patternMm3: draw.body.volume(),
      readingMm3,
      errorMm3,
      kept: keep ? keptOf(draw.frame, made, joint.level, errorMm3) : null,
    };
  }

  async sites(n: number): Promise<PlacedDowel[] | null> {
    if (!this.#sites) {
      const { draw, pattern, joint, options } = this.#work;
      this.#sites = dowelSites(frameColumns(draw.frame, pattern, DOWEL_COLUMNS), joint, wishOf(options));
    }
    return n < this.#sites.diameters.length ? this.#sites.places(n) : null;
  }

  async holds(dowels: readonly PlacedDowel[]): Promise<number[]> {
    const { scope, options } = this.#work;
    const rooms = dowels.map((dowel) => dowelRoom(scope, dowel, options));
    if (!this.#undrilled) return rooms.map(() => 0);
    // All rooms at once: asking the metal costs the same for one as for many.
    const all = scope.unite(rooms);
    const inside = scope.meet(all, this.#undrilled);
    const held = rooms.map((room) => {
      const both = scope.meet(room, inside);
      const volume = both.volume();
      scope.free(both);
      return volume;
    });
    for (const each of [...rooms, all, inside]) scope.free(each);
    return held;
  }

  async drill(dowels: readonly PlacedDowel[]): Promise<HalfDrilled> {
    const { scope, options } = this.#work;
    if (this.#body && dowels.length > 0) {
      const holes = scope.unite(dowels.map((dowel) => dowelBody(scope, dowel, options.clearance)));
      this.#body = scope.cut(this.#body, holes);
    }
    this.#cut =
      this.#body && options.bed && !options.plate ? cutToBed(scope, this.#body, options.bed, options.clearance) : null;
    const { pieces = [], keys = [], findings = [] } = this.#cut ?? {};
    return { volumeMm3: this.#body ? this.#body.volume() : 0, pieces: pieces.length, keys: keys.length, findings };
  }

  async dowels(placed: readonly PlacedDowel[]): Promise<{ dowels: Dowel[]; solids: Pattern[] }> {
    const { scope, draw } = this.#work;
    return {
      dowels: placed.map((dowel) => dowelOf(draw.frame, dowel)),
      solids: placed.map((dowel, n) => patternOf(draw.frame, dowelBody(scope, dowel), `dowel ${n + 1}`)),
    };
  }

  async readOut(
    { firstPiece, firstKey, printed, sand }: ReadOut,
    signal: AbortSignal | undefined = this.#work.options.signal,
  ): Promise<HalfReadOut> {
    const { pattern, options } = this.#work;
    const { frame } = this.#work.draw;
    const name = `${pattern.name} ${this.#side} half`;
    const half = this.#body && { ...patternOf(frame, this.#body, name), unit: pattern.unit };
    const { pieces, keys } = piecesOf(this.#work, this.#cut, firstPiece, firstKey);
    // Dowel holes never hold any sand, so a drilled half would mislead.
    const whole =
      this.#undrilled && this.#undrilled !== this.#body
        ? patternToLookAt(frame, meshOfBody(this.#undrilled), name)
        : half;
    const { printWall, standSand } = options;
    const toPrint = !printed ? [] : pieces.length > 0 ? pieces : [half];
    const moulding = sand === 'none' ? [] : sand === 'pattern' ? [pattern] : [whole];
    return {
      half,
      pieces,
      keys,
      thinWalls: await checkThinWalls(toPrint, { printWall, signal }),
      thinSand: await checkThinWalls(moulding, { printWall: 0, standSand, signal }),
    };
  }
}

/** Pieces and keys of a half, or of a plate, as patterns, numbered on from those before. */
export function piecesOf(
  { draw: { frame }, pattern }: SplitInWork,
  cut: CutPieces | null,
  firstPiece: number,
  firstKey: number,
): { readonly pieces: Pattern[]; readonly keys: Pattern[] } {
  const { pieces = [], keys = [] } = cut ?? {};
  return {
    pieces: pieces.map((piece, n) => patternOf(frame, piece, `${pattern.name} piece ${firstPiece + n + 1}`)),
    keys: keys.map((key, n) => patternOf(frame, key, `key ${firstKey + n + 1}`)),
  };
}
