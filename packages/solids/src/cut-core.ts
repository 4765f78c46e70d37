/** One core cut for a held place: the sand of the place with prints at its mouths, and the prints' seats on the pattern. */
import type { Finding } from '@oddside/core';
import { drawBentPrint } from './bent-prints.js';
import { noPrint, shortPrint, shutIn } from './core-findings.js';
import { findMouths, type Mouth } from './core-mouths.js';
import { drawPrint, printLengthOf, type PlacedPrint, type PrintWish } from './core-prints.js';
import { outOfFrame } from './draw-frame.js';
import type { FramedJoint } from './frame-joint.js';
import type { Body } from './kernel.js';
import { centroidOf } from './list-places.js';
import type { MetalAt } from './metal-at.js';
import type { Scope } from './own-bodies.js';
import type { PreparedDraw } from './prepare-draw.js';
import { framedMeshOf } from './solid-mesh.js';
import { sortFaces } from './sort-faces.js';
import { sweepCope, sweepDrag } from './trap-sand.js';

/** A core in the frame. */
export interface CutCore {
  readonly core: Body;
  readonly seats: readonly Body[];
  readonly place: Body;
  readonly prints: readonly PlacedPrint[];
}

/** Makes the core of a place; `null`, with a finding, where it has no mouth or no print can be drawn out of any. */
export function cutCore(
  scope: Scope,
  draw: PreparedDraw,
  joint: FramedJoint | null,
  metal: MetalAt,
  place: Body,
  wish: PrintWish,
  findings: Finding[],
): CutCore | null {
  const mouths = findMouths(framedMeshOf(place), metal);
  const middle = centroidOf(place);
  const where = outOfFrame(draw.frame, ...middle);
  if (mouths.length === 0) {
    findings.push(shutIn(place, where));
    return null;
  }
  const straight = mouths.filter((mouth) => mouth.straight);
  const armOf = ({ face, way }: Mouth): number => face - (middle[0] * way[0] + middle[1] * way[1]);
  const told = (mouth: Mouth, wanted: number, print: PlacedPrint | null): PlacedPrint[] => {
    if (print && print.length < wanted) findings.push(shortPrint(draw.frame, mouth, wanted, print.length));
    return print ? [print] : [];
  };
  const prints = straight.flatMap((mouth) => {
    const length = wish.printLength ?? printLengthOf(mouth, straight.length, place.volume(), armOf(mouth));
    return told(mouth, length, drawPrint(scope, draw.body, mouth, length, wish));
  });
  // Only where no print can be drawn straight out: one along a bent mouth, or all round.
  for (const mouth of straight.length > 0 ? [] : mouths) {
    const arm = mouth.ring ? 0 : armOf(mouth);
    const length = wish.printLength ?? printLengthOf(mouth, mouths.length, place.volume(), arm);
    const [low, high] = heightsOf(mouth);
    const at = joint ? joint.heightAt(mouth.middle[0], mouth.middle[1]) : (low + high) / 2;
    const widest = Math.max(low, Math.min(high, at));
    prints.push(...told(mouth, length, drawBentPrint(scope, draw.body, mouth, length, widest, wish)));
  }
  if (prints.length === 0) {
    findings.push(noPrint(place, where));
    return null;
  }
  const tails = (body: Body): Body[] => (joint ? tailsOf(scope, body, joint) : []);
  const outside = (body: Body): Body => scope.cut(body, draw.body);
  const core = scope.unite([place, ...prints.flatMap(({ onCore }) => [onCore, ...tails(onCore).map(outside)])]);
  return {
    core,
    place,
    prints,
    seats: prints.flatMap(({ onPattern }) => [onPattern, ...tails(onPattern).map(outside)]),
  };
}

/** Lowest and highest of a mouth, in the frame. */
function heightsOf({ points }: Mouth): readonly [number, number] {
  const heights = points.filter((_, n) => n % 3 === 2);
  return [Math.min(...heights), Math.max(...heights)];
}

/** What a print needs so that it draws along the joint: it is drawn out to the joint, and the core with it. */
function tailsOf(scope: Scope, print: Body, joint: FramedJoint): Body[] {
  const mesh = framedMeshOf(print);
  const sides = sortFaces(mesh);
  return [sweepCope(scope, mesh, sides, joint), sweepDrag(scope, mesh, sides, joint)].filter((tail) => tail !== null);
}
