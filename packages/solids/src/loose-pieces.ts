/**
 * A pattern with loose pieces: the metal under (or over) trapped sand is cut off, sits on the pattern by pins or a
 * dovetail, stays in the sand when the pattern is drawn, and is then slid into the room the pattern left and drawn too.
 */
import {
  OddsideError, checkNumber, partOfProgress, resolveOptions, startPacing, type Finding, type TaskOptions, type Vec3,
} from '@oddside/core'; // prettier-ignore
import type { Pattern } from '@oddside/pattern';
import { STAND_SAND, THIN_WALL_DEFAULTS, checkThinWalls, checkWallLimits } from './check-thin-walls.js';
import { patternOf } from './convert-body.js';
import { cutPiece, roomAfter, travelOf, type CutPiece, type SeatKind } from './cut-piece.js';
import type { DrawFrame } from './draw-frame.js';
import { outOfFrame } from './draw-frame.js';
import { proposeSlides } from './find-slides.js';
import { frameJoint } from './frame-joint.js';
import type { Joint } from './joint.js';
import type { Body, Kernel } from './kernel.js';
import { noPiece, noSeat } from './loose-findings.js';
import { inScope, type Scope } from './own-bodies.js';
import { prepareDraw, type PreparedDraw } from './prepare-draw.js';
import { proveDraw, type DrawProof } from './prove-draw.js';
import { proveSlide, scrapingPiece, wayInFile, type SlideProof } from './prove-loose-draw.js';
import { drillPins, pinBody, type PlacedPin } from './seat-piece.js';
import { trappedPlaces, type TrappedSide } from './trapped-places.js';

/** What `loosePieces` takes. */
export interface LoosePiecesOptions extends TaskOptions {
  /** The joint. Default none: only sand that no joint can free is seen to. */
  readonly joint: Joint | undefined;
  /** How the pieces sit on the pattern. Default `pin`; `none` leaves the face plain, for wax or tape. */
  readonly seat: SeatKind;
  /** Room round pins or tongue, and beyond the least slide, mm, 0–5. Default 0.15 (common practice for printed holes, no source). */
  readonly clearance: number;
  /** Least metal round a hole or slot, mm. Default 2. */
  readonly wall: number;
  /** Places seen to, largest first, 1–50. Default 8. */
  readonly places: number;
  /** Places smaller than this share of the pattern are left: they are filled, not pieced. 0–1; default 0.001 (common practice, no source). */
  readonly leastShare: number;
  /** Walls thinner than this are told as too thin to print, mm; 0: not looked for. Default 1.2 (common practice, no source). */
  readonly printWall: number;
  /** Sand of the mould thinner than this is told as too thin to stand, mm; 0: not looked for. Default 3 (common practice, no source). */
  readonly standSand: number;
}

/** Defaults of `loosePieces`. */
export const LOOSE_PIECES_DEFAULTS: LoosePiecesOptions = Object.freeze({
  joint: undefined,
  seat: 'pin',
  clearance: 0.15,
  wall: 2,
  places: 8,
  leastShare: 0.001,
  printWall: THIN_WALL_DEFAULTS.printWall,
  standSand: STAND_SAND,
  signal: undefined,
  onProgress: undefined,
});

/** A pin of a loose piece, mm in the pattern's coordinates. It is pulled out, against `direction`, once sand holds the piece. */
export interface LoosePin {
  /** Its outer end. */
  readonly where: Vec3;
  /** The way it goes in. */
  readonly direction: Vec3;
  readonly diameter: number;
  readonly length: number;
}

/** One loose piece. */
export interface LoosePiece {
  readonly pattern: Pattern;
  readonly volumeMm3: number;
  /** The half of the mould that it stays in when the pattern is drawn. */
  readonly half: 'cope' | 'drag';
  /** How it then slides, square to the draw, before it is drawn: unit vector, and mm. */
  readonly slide: { readonly direction: Vec3; readonly distance: number };
  readonly seat: SeatKind;
  readonly pins: readonly LoosePin[];
  /** The pins as solids, where one wants to print them; nails of the size serve as well. */
  readonly pinSolids: readonly Pattern[];
  /** Sand that comes free by it, mm³. */
  readonly freesMm3: number;
  /** Its own way out, with the pieces that are drawn after it still in their places. */
  readonly proof: SlideProof;
}

/** A pattern with loose pieces, in the pattern's own coordinates: everything lies where it belongs. */
export interface LoosePieces {
  /** The pattern without its pieces; the pattern as it came where none could be made. */
  readonly main: Pattern;
  /** In the order in which they are taken out, after the main pattern. */
  readonly pieces: readonly LoosePiece[];
  /** The main pattern's own draw. */
  readonly proof: DrawProof;
  /** True where the main pattern and every piece come out clean. */
  readonly draws: boolean;
  /** Main + pieces + seats = pattern; each mm³. */
  readonly volumes: {
    readonly patternMm3: number;
    readonly mainMm3: number;
    readonly piecesMm3: number;
    /** Taken away for pins, or as the room round tongues. */
    readonly seatsMm3: number;
    /** Sand for which no piece could be made. */
    readonly leftMm3: number;
    readonly errorMm3: number;
  };
  readonly findings: readonly Finding[];
}

/** See {@link LoosePiecesOptions}. @throws OddsideError `bad-pattern`, `bad-direction`, `bad-number`, `bad-option`. */
export async function loosePieces(
  kernel: Kernel,
  pattern: Pattern,
  direction: Vec3,
  given?: Partial<LoosePiecesOptions>,
): Promise<LoosePieces> {
  const options = resolveOptions('loosePieces', LOOSE_PIECES_DEFAULTS, given);
  checkNumber('clearance (mm)', options.clearance, { min: 0, max: 5 });
  checkNumber('wall (mm)', options.wall, { min: 0 });
  checkNumber('places', options.places, { min: 1, max: 50, whole: true });
  checkNumber('leastShare', options.leastShare, { min: 0, max: 1 });
  checkSeat(options.seat);
  checkWallLimits(options);
  const pacer = startPacing(options);
  return inScope(kernel, async (scope) => {
    const draw = prepareDraw(scope, pattern, direction);
    const joint = options.joint ? frameJoint(draw.frame, options.joint) : null;
    await pacer.step(0.1);
    const sides = trappedPlaces(scope, draw, joint);
    await pacer.step(0.25);
    const findings: Finding[] = [];
    const cut = await cutAll(scope, draw, sides, options, findings, (done) => pacer.step(0.25 + 0.4 * done));
    const ordered = orderPieces(scope, draw, cut, sides, joint !== null);
    await pacer.step(0.75);
    // Proved without the holes for pins: they are shut while sand is rammed.
    const plain = patternOf(draw.frame, cut.main, `${pattern.name} main`);
    const proof = await proveDraw(kernel, plain, direction, {
      joint: options.joint,
      steps: 0,
      ...partOfProgress(options, 0.75, 0.95),
    });
    const pins = ordered.flatMap((piece) => piece.pins);
    const main = drillPins(scope, cut.main, pins, options.clearance);
    const pieces = ordered.map((piece, n) => {
      return describePiece(scope, draw.frame, pattern, piece, n, options.clearance);
    });
    for (const [n, piece] of pieces.entries()) {
      if (!piece.proof.draws) findings.push(scrapingPiece(`Loose piece ${n + 1}`, piece.proof));
      if (piece.seat !== options.seat) findings.push(noSeat(n, options.seat, piece));
    }
    const [patternMm3, mainMm3] = [draw.body.volume(), main.volume()];
    const made = pieces.length === 0 ? pattern : { ...patternOf(draw.frame, main, plain.name), unit: pattern.unit };
    const { signal, printWall, standSand } = options;
    findings.push(
      ...(await checkThinWalls([pattern], { printWall: 0, standSand, signal })),
      ...(await checkThinWalls([made, ...pieces.map((piece) => piece.pattern)], { printWall, signal })),
    );
    const piecesMm3 = pieces.reduce((sum, piece) => sum + piece.volumeMm3, 0);
    pacer.finish();
    return {
      main: made,
      pieces,
      proof,
      draws: proof.draws && pieces.every((piece) => piece.proof.draws),
      volumes: {
        patternMm3,
        mainMm3,
        piecesMm3,
        seatsMm3: Math.max(0, patternMm3 - mainMm3 - piecesMm3),
        leftMm3: proof.trappedMm3,
        errorMm3: draw.errorMm3,
      },
      findings: [...findings, ...proof.findings],
    };
  });
}

function checkSeat(seat: unknown): void {
  if (seat === 'pin' || seat === 'dovetail' || seat === 'none') return;
  throw new OddsideError('bad-option', `seat must be "pin", "dovetail" or "none", but "${String(seat)}" came.`);
}

interface AllCut {
  readonly main: Body;
  readonly pieces: readonly CutPiece[];
}

async function cutAll(
  scope: Scope,
  draw: PreparedDraw,
  sides: readonly TrappedSide[],
  options: LoosePiecesOptions,
  findings: Finding[],
  step: (done: number) => Promise<void>,
): Promise<AllCut> {
  let main = draw.body;
  const pieces: CutPiece[] = [];
  const freed = new Set<Body>();
  const tried = new Set<Body>();
  const least = options.leastShare * draw.body.volume();
  for (const [s, side] of sides.entries()) {
    const wanted = side.places.slice(0, options.places).filter((place) => place.volume() >= least);
    if (wanted.length === 0) continue;
    const slides = proposeSlides(draw.frame, side, wanted);
    for (const [n, place] of wanted.entries()) {
      await step((s + n / wanted.length) / sides.length);
      tried.add(place);
      if (freed.has(place)) continue;
      const piece = cutPiece(scope, draw, main, place, slides[n], side, options.joint !== undefined, options);
      if (!piece) continue;
      freed.add(place);
      main = piece.main;
      pieces.push(piece);
    }
  }
  for (const place of tried) if (!freed.has(place)) findings.push(noPiece(draw.frame, place));
  return { main, pieces };
}

/** An order in which every piece's way is free of those still in place; as they come where there is none. */
function orderPieces(
  scope: Scope,
  draw: PreparedDraw,
  { main, pieces }: AllCut,
  sides: readonly TrappedSide[],
  jointed: boolean,
): CutPiece[] {
  const roomOf = (lift: 1 | -1): Body => {
    const room = sides.find((side) => side.piece === (lift > 0 ? 'under' : 'over'))!.room;
    return jointed ? room : roomAfter(scope, draw, room, main, lift);
  };
  const rooms = new Map([...new Set(pieces.map(({ lift }) => lift))].map((lift) => [lift, roomOf(lift)]));
  const left = [...pieces];
  const ordered: CutPiece[] = [];
  while (left.length > 0) {
    const proofs = left.map((piece) =>
      proveSlide(
        scope,
        draw.frame,
        { ...piece, body: piece.piece },
        rooms.get(piece.lift)!,
        left.filter((other) => other !== piece).map(({ piece: other }) => other),
        piece.lift * travelOf(draw),
      ),
    );
    const scraped = proofs.map(({ scrapedMm3, tornMm3 }) => scrapedMm3 + tornMm3);
    const free = proofs.findIndex((proof) => proof.draws);
    const next = free >= 0 ? free : scraped.indexOf(Math.min(...scraped));
    ordered.push({ ...left[next], proof: proofs[next] });
    left.splice(next, 1);
  }
  return ordered;
}

function describePiece(
  scope: Scope,
  frame: DrawFrame,
  { name, unit }: Pattern,
  piece: CutPiece,
  n: number,
  clearance: number,
): LoosePiece {
  const body = drillPins(scope, piece.piece, piece.pins, clearance);
  return {
    pattern: { ...patternOf(frame, body, `${name} loose piece ${n + 1}`), unit },
    volumeMm3: body.volume(),
    half: piece.lift > 0 ? 'drag' : 'cope',
    slide: { direction: wayInFile(frame, piece.way), distance: piece.distance },
    seat: piece.seat,
    pins: piece.pins.map((pin) => pinInFile(frame, pin)),
    pinSolids: piece.pins.map((pin, k) => patternOf(frame, pinBody(scope, pin), `loose piece ${n + 1} pin ${k + 1}`)),
    freesMm3: piece.freesMm3,
    proof: piece.proof,
  };
}

function pinInFile(frame: DrawFrame, { from, way, diameter, length }: PlacedPin): LoosePin {
  return { where: outOfFrame(frame, ...from), direction: wayInFile(frame, way), diameter, length };
}
