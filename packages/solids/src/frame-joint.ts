/** A joint in the frame of a draw: it cuts bodies, and says how high it lies. */
import { OddsideError, checkNumber, dot, unitVector, type Vec3 } from '@oddside/core';
import { intoFrame, type DrawFrame } from './draw-frame.js';
import { frameSurface } from './frame-surface.js';
import type { Joint } from './joint.js';
import type { Body } from './kernel.js';
import type { Scope } from './own-bodies.js';

/** A joint in the frame. Heights in mm along z. */
export interface FramedJoint {
  /** True where the joint lies in one plane. */
  readonly plane: boolean;
  /** Height if it is level, otherwise `null`. */
  readonly level: number | null;
  heightAt(x: number, y: number): number;
  /** Bounds of its height over a rectangle in plan; may be wider than the truth, never narrower. */
  lowestOver(x0: number, y0: number, x1: number, y1: number): number;
  highestOver(x0: number, y0: number, x1: number, y1: number): number;
  /** The part of a body on the cope's side, and on the drag's, of the joint moved by `lift` along the draw. */
  over(scope: Scope, body: Body, lift?: number): Body;
  under(scope: Scope, body: Body, lift?: number): Body;
}

/** Least cosine between a joint's normal and the draw: steeper than 80° is no joint. */
const LEAST_COSINE = Math.cos((80 * Math.PI) / 180);

/** A caller's joint in the frame. @throws OddsideError `bad-number`, `bad-direction`, `bad-option`. */
export function frameJoint(frame: DrawFrame, joint: Joint): FramedJoint {
  switch (joint?.kind) {
    case 'level':
      return planeJoint([0, 0, 1], checkNumber('joint.height (mm)', joint.height) - frame.base);
    case 'tilted': {
      const n = unitVector(joint.normal, 'The joint’s normal');
      for (const part of joint.point ?? []) checkNumber('joint.point (mm)', part);
      const normal: Vec3 = [dot(n, frame.u), dot(n, frame.v), dot(n, frame.d)];
      if (normal[2] < LEAST_COSINE) {
        throw new OddsideError(
          'bad-direction',
          `The joint’s normal must lean less than 80° from the draw, towards the cope, but it leans ${Math.round((Math.acos(normal[2]) * 180) / Math.PI)}°.`,
          { normal: joint.normal },
        );
      }
      return planeJoint(normal, dot(intoFrame(frame, joint.point), normal));
    }
    case 'surface':
      return frameSurface(frame, joint);
    default:
      throw new OddsideError(
        'bad-option',
        `A joint must have kind "level", "tilted" or "surface", but ${JSON.stringify((joint as { kind?: unknown })?.kind)} came.`,
      );
  }
}

/** The plane `normal · p = offset` as a joint. */
export function planeJoint(normal: Vec3, offset: number): FramedJoint {
  const [nx, ny, nz] = normal;
  const back: Vec3 = [-nx, -ny, -nz];
  const heightAt = (x: number, y: number): number => (offset - nx * x - ny * y) / nz;
  const corners = (x0: number, y0: number, x1: number, y1: number): number[] => [
    heightAt(x0, y0),
    heightAt(x1, y0),
    heightAt(x0, y1),
    heightAt(x1, y1),
  ];
  return {
    plane: true,
    level: nz === 1 ? offset : null,
    heightAt,
    lowestOver: (...box) => Math.min(...corners(...box)),
    highestOver: (...box) => Math.max(...corners(...box)),
    over: (scope, body, lift = 0) => scope.trim(body, normal, offset + lift * nz),
    under: (scope, body, lift = 0) => scope.trim(body, back, -(offset + lift * nz)),
  };
}
