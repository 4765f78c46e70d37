/**
 * How a loose piece sits on the pattern until the sand holds it. Pins lie along the slide, go through the piece into the
 * pattern, and are pulled outward once sand is rammed round the piece. A dovetail needs no pulling: a tongue of the piece,
 * wider inside the pattern than at its face, that the pattern slides off as it is drawn; it asks for more room to slide.
 */
import type { Vec3 } from '@oddside/core';
import { boxBody } from './convert-body.js';
import type { Body } from './kernel.js';
import type { Scope } from './own-bodies.js';
import { reachAlong } from './solid-mesh.js';

/** A pin in the frame: a round bar from outside the piece into the pattern. */
export interface PlacedPin {
  /** Its outer end, and the way it goes in (unit vector across the draw). */
  readonly from: Vec3;
  readonly way: Vec3;
  readonly length: number;
  readonly diameter: number;
}

export interface SeatWish {
  /** Room between pin or tongue and its hole, mm. */
  readonly clearance: number;
  /** Least metal round a hole or slot, mm. */
  readonly wall: number;
}

/** A seated piece: with a tongue, and the pattern with a slot for it, or both plain with pins to be drilled for. */
export interface SeatedPiece {
  readonly piece: Body;
  readonly main: Body;
  readonly pins: readonly PlacedPin[];
}

/** Diameters of pins, mm (common practice for wire nails and bar, no source), thickest first. */
const DIAMETERS: readonly number[] = Object.freeze([6, 5, 4, 3, 2, 1.5]);
/** A pin is at most this share of the piece's smaller side across its way. */
const SHARE = 0.25;
/** Places tried across a pin's way, each way. */
const TRIES = 7;
/** A pin stands so far out of the piece that fingers find it, mm (common practice, no source). */
const STUB = 15;

/** Looks for two places for pins, far apart, or one; `null` where the piece bears none. */
export function seatOnPins(
  scope: Scope,
  piece: Body,
  main: Body,
  whole: Body,
  way: Vec3,
  wish: SeatWish,
): SeatedPiece | null {
  const { min, max } = piece.boundingBox();
  const cross: Vec3 = [-way[1], way[0], 0];
  const [low, high] = reachAlong(piece, cross);
  const sides = [high - low, max[2] - min[2]];
  for (const diameter of DIAMETERS.filter((d) => d <= SHARE * Math.min(...sides))) {
    const fits: PlacedPin[] = [];
    for (let i = 0; i < TRIES; i++) {
      for (let j = 0; j < TRIES; j++) {
        const at = [low + (sides[0] * (i + 1)) / (TRIES + 1), min[2] + (sides[1] * (j + 1)) / (TRIES + 1)] as const;
        const pin = tryPin(scope, piece, main, whole, { way, cross, at, diameter }, wish);
        if (pin) fits.push(pin);
      }
    }
    if (fits.length === 0) continue;
    return { piece, main, pins: farthestTwo(fits, 3 * diameter) };
  }
  return null;
}

/** A body with the holes for pins. */
export function drillPins(scope: Scope, body: Body, pins: readonly PlacedPin[], clearance: number): Body {
  if (pins.length === 0) return body;
  return scope.cut(body, scope.unite(pins.map((pin) => pinBody(scope, pin, clearance))));
}

interface PinTry {
  readonly way: Vec3;
  readonly cross: Vec3;
  /** Place across the way: along `cross`, and height. */
  readonly at: readonly [number, number];
  readonly diameter: number;
}

function tryPin(
  scope: Scope,
  piece: Body,
  main: Body,
  whole: Body,
  { way, cross, at, diameter }: PinTry,
  { clearance, wall }: SeatWish,
): PlacedPin | null {
  const point = (along: number): Vec3 => [along * way[0] + at[0] * cross[0], along * way[1] + at[0] * cross[1], at[1]];
  const [near, far] = reachAlong(piece, way);
  const bar = (from: number, to: number, more: number): Body =>
    pinBody(scope, { from: point(from), way, length: to - from, diameter }, more);
  const long = bar(near - diameter, far + diameter, clearance + wall);
  const inPiece = scope.meet(long, piece);
  scope.free(long);
  if (inPiece.isEmpty()) {
    scope.free(inPiece);
    return null;
  }
  const [start, face] = reachAlong(inPiece, way);
  scope.free(inPiece);
  const depth = 2 * diameter;
  const held = bar(Math.max(start, face - depth), face + depth + wall, clearance + wall);
  const outside = scope.cut(held, whole);
  const sound = outside.volume() <= 1e-6 * held.volume();
  scope.free(held);
  scope.free(outside);
  if (!sound) return null;
  // The pin is pulled outward: nothing of the pattern may stand in its way.
  const { min, max } = whole.boundingBox();
  const pulled = bar(start - Math.hypot(max[0] - min[0], max[1] - min[1]), start, clearance);
  const struck = scope.meet(pulled, main);
  const free = struck.volume() <= 1e-6 * pulled.volume();
  scope.free(pulled);
  scope.free(struck);
  return free ? { from: point(start - STUB), way, length: face + depth - start + STUB, diameter } : null;
}

/** A pin, or with `more` its hole. */
export function pinBody(scope: Scope, { from, way, length, diameter }: PlacedPin, more = 0): Body {
  const radius = diameter / 2 + more;
  const upright = scope.own(scope.kernel.Manifold.cylinder(length + more, radius, radius, 32));
  const lying = scope.own(upright.rotate([0, 90, (Math.atan2(way[1], way[0]) * 180) / Math.PI]));
  const body = scope.move(lying, from);
  scope.free(upright);
  scope.free(lying);
  return body;
}

function farthestTwo(fits: readonly PlacedPin[], least: number): PlacedPin[] {
  let best: PlacedPin[] = [fits[fits.length >> 1]];
  let most = least;
  for (const a of fits) {
    for (const b of fits) {
      const apart = Math.hypot(a.from[0] - b.from[0], a.from[1] - b.from[1], a.from[2] - b.from[2]);
      if (apart > most) [best, most] = [[a, b], apart];
    }
  }
  return best;
}

/** The tongue's width at the face and its depth as shares of the face's width; inside it is as much wider as it is deep / 2. */
const NECK = 0.35;
const DEPTH = 0.3;
/** Share of the face's height that the tongue takes, so that metal of the pattern stays over it. */
const TALL = 0.7;

/** Seats a piece by a dovetail along the draw; `null` where the pattern bears none. `lift` is the way the pattern leaves: 1 up, -1 down. */
export function seatOnDovetail(
  scope: Scope,
  piece: Body,
  main: Body,
  way: Vec3,
  lift: 1 | -1,
  { clearance, wall }: SeatWish,
): SeatedPiece | null {
  const cross: Vec3 = [-way[1], way[0], 0];
  const [, face] = reachAlong(piece, way);
  const [back] = reachAlong(piece, way);
  const slice = scope.trim(piece, way, face - 0.05 * (face - back));
  if (slice.isEmpty()) return null;
  const [low, high] = reachAlong(slice, cross);
  const { min, max } = slice.boundingBox();
  scope.free(slice);
  const tall = max[2] - min[2];
  const [roof, foot] = lift > 0 ? [min[2] + TALL * tall, min[2]] : [max[2] - TALL * tall, max[2]];
  const whole = main.boundingBox();
  const end = lift > 0 ? whole.min[2] - 1 : whole.max[2] + 1;
  for (const share of [1, 0.75, 0.5]) {
    const neck = share * NECK * (high - low);
    const depth = share * DEPTH * (high - low);
    const prism = (more: number, from: number, to: number): Body =>
      dovetailBody(scope, { way, cross, face, middle: (low + high) / 2, neck, depth }, more, from, to);
    const room = prism(wall, foot, roof + lift * wall);
    const beyond = scope.trim(room, way, face);
    const outside = scope.cut(beyond, main);
    const sound = outside.volume() <= 1e-6 * beyond.volume();
    for (const body of [room, beyond, outside]) scope.free(body);
    if (!sound || neck < 2) continue;
    const tongue = scope.meet(main, prism(0, end, roof));
    const slot = prism(clearance, end, roof + lift * clearance);
    const seated = scope.unite([piece, tongue]);
    const left = scope.cut(main, slot);
    scope.free(slot);
    scope.free(tongue);
    return { piece: seated, main: left, pins: [] };
  }
  return null;
}

interface DovetailShape {
  readonly way: Vec3;
  readonly cross: Vec3;
  readonly face: number;
  readonly middle: number;
  readonly neck: number;
  readonly depth: number;
}

function dovetailBody(
  scope: Scope,
  { way, cross, face, middle, neck, depth }: DovetailShape,
  more: number,
  from: number,
  to: number,
): Body {
  const flare = depth / 4;
  // It begins a little within the piece, so that tongue and piece are one solid.
  const inside = 0.1 * depth;
  const corner = (along: number, aside: number): [number, number] => [
    (face + along) * way[0] + (middle + aside) * cross[0],
    (face + along) * way[1] + (middle + aside) * cross[1],
  ];
  const [half, wide] = [neck / 2 + more, neck / 2 + flare + more];
  const outline = [
    corner(-inside, -half),
    corner(-inside, half),
    corner(depth + more, wide),
    corner(depth + more, -wide),
  ];
  // Anticlockwise seen from above: `cross` is a quarter turn on from `way`.
  const prism = scope.own(scope.kernel.Manifold.extrude([outline.toReversed()], Math.abs(to - from)));
  const body = scope.move(prism, [0, 0, Math.min(from, to)]);
  scope.free(prism);
  return body;
}

/** A box of the pattern round a piece, in which its seat is sought: the rest of a large pattern only costs time. */
export function surroundings(scope: Scope, body: Body, piece: Body, by: number): Body {
  const { min, max } = piece.boundingBox();
  return scope.meet(
    body,
    boxBody(scope, {
      min: [min[0] - by, min[1] - by, min[2] - by],
      max: [max[0] + by, max[1] + by, max[2] + by],
    }),
  );
}
