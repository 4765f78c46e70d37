/** Flask fits worked out by hand. */
import { describe, expect, it } from 'vitest';
import type { Vec3 } from '@oddside/core';
import { fitFlask, type FlaskSize } from '../../packages/parting/src/fit-flask.js';
import { asPattern, box, cylinder, rotate } from '../helpers/shapes.js';

const UP: Vec3 = [0, 0, 1];
const flask = (name: string, length: number, width: number, copeDepth: number, dragDepth: number): FlaskSize => ({
  name,
  length,
  width,
  copeDepth,
  dragDepth,
});
const bare = { wallMargin: 0, aboveMargin: 0, belowMargin: 0, betweenMargin: 0, sprueRoom: 0 };
const plate = asPattern(box([0, 0, 0], [100, 40, 20]));

describe('fitFlask', () => {
  it('takes the smallest that holds pattern and margins, and says why not the others', () => {
    const flasks = [
      flask('large', 400, 300, 100, 100),
      flask('small', 240, 130, 60, 60),
      flask('shallow', 400, 300, 50, 20),
      flask('short', 200, 130, 60, 60),
    ];
    const { best, fits, misfits, needed } = fitFlask(plate, UP, 10, flasks);
    expect(needed).toEqual({ length: 230, width: 120, copeDepth: 50, dragDepth: 40 });
    expect(best!.flask.name).toBe('small');
    expect(best!.spare).toEqual({ length: 10, width: 10, cope: 10, drag: 20 });
    expect(fits.map((fit) => fit.flask.name)).toEqual(['small', 'large']);
    expect(misfits.map((misfit) => misfit.flask.name)).toEqual(['shallow', 'short']);
    expect(misfits[0].reason).toMatch(/drag is 20 mm deep and must be 40 mm/);
    expect(misfits[1].reason).toMatch(/in plan/);
  });

  it('turns the pattern to lie along the flask', () => {
    const turned = asPattern(rotate(box([0, 0, 0], [100, 40, 20]), UP, 33.3));
    const { best, along, needed } = fitFlask(turned, UP, 0, [flask('just', 100.001, 40.001, 20.001, 20)], bare);
    expect(best).not.toBeNull();
    expect(needed.length * needed.width).toBeCloseTo(4000, 6);
    // Turning the long edge back by the angle found lays it along the flask: 33.3° off the file's x, counted from `along`.
    const from = (Math.atan2(along[1], along[0]) * 180) / Math.PI;
    const edge = (((33.3 - from + best!.turnDeg) % 180) + 180) % 180;
    expect(Math.min(edge, 180 - edge)).toBeCloseTo(0, 6);
  });

  it('sets several in rows', () => {
    const six = fitFlask(plate, UP, 20, [flask('square', 320, 240, 20, 20)], { ...bare, copies: 6, betweenMargin: 10 });
    // Three along (3 × 100 + 2 × 10) and two across (2 × 40 + 10), or the like.
    expect(six.best!.rows.along * six.best!.rows.across).toBeGreaterThanOrEqual(6);
    expect(fitFlask(plate, UP, 20, [flask('square', 119, 119, 20, 20)], { ...bare, copies: 4 }).best).toBeNull();
  });

  it('gives depth on both sides of the joint, all of it below where the pattern lies in the drag', () => {
    const { needed } = fitFlask(plate, UP, 20, [flask('any', 500, 500, 500, 500)], bare);
    expect(needed).toMatchObject({ copeDepth: 0, dragDepth: 20 });
    expect(fitFlask(plate, [0, 0, -1], -20, [flask('any', 500, 500, 500, 500)], bare).needed).toMatchObject({
      copeDepth: 20,
      dragDepth: 0,
    });
  });

  it('is as tight round a cylinder as its diameter', () => {
    const { needed } = fitFlask(
      asPattern(cylinder(10, 5, 180)),
      [0, 0, 3],
      0,
      [flask('any', 500, 500, 500, 500)],
      bare,
    );
    expect(needed.length).toBeCloseTo(20, 1);
  });

  it('refuses nonsense', () => {
    expect(() => fitFlask(plate, UP, 0, [])).toThrow(/at least one flask/);
    expect(() => fitFlask(plate, UP, 0, [flask('bad', -1, 2, 3, 4)])).toThrow(/length of flask "bad"/);
    expect(() => fitFlask(plate, UP, NaN, [flask('any', 1, 1, 1, 1)])).toThrow(/joint/);
    expect(() => fitFlask(plate, UP, 0, [flask('any', 1, 1, 1, 1)], { copies: 0 })).toThrow(/copies/);
  });
});
