/** Solids turned about the z axis. Round things are inscribed polygons. */
import { MeshBuilder, type Mesh } from './mesh.js';
import { circle, type Point2 } from './extrude.js';

/**
 * A profile turned about the z axis in `n` steps. Points are [radius, z], counter-clockwise with the radius to the right
 * and z up; the last joins the first. Points on the axis become poles; an edge along the axis makes no face.
 */
export function revolve(profile: readonly Point2[], n: number): Mesh {
  const build = new MeshBuilder();
  const rings = profile.map(([r, z]) => {
    if (r === 0) {
      const pole = build.corner(0, 0, z);
      return Array.from({ length: n }, () => pole);
    }
    return Array.from({ length: n }, (_, j) => {
      const turn = (2 * Math.PI * j) / n;
      return build.corner(r * Math.cos(turn), r * Math.sin(turn), z);
    });
  });
  rings.forEach((ring, i) => {
    const next = rings[(i + 1) % rings.length];
    for (let j = 0; j < n; j++) {
      const k = (j + 1) % n;
      const [a, b, c, d] = [ring[j], ring[k], next[k], next[j]];
      if (a === b && c === d) continue;
      if (a === b) build.triangle(a, c, d);
      else if (c === d) build.triangle(a, b, c);
      else build.quad(a, b, c, d);
    }
  });
  return build.build();
}

/** Volume of {@link revolve}'s mesh in closed form: Pappus for the profile, times the share of the circle its n-gon fills. */
export function revolvedVolume(profile: readonly Point2[], n: number): number {
  let sixth = 0;
  profile.forEach(([r, z], i) => {
    const [s, w] = profile[(i + 1) % profile.length];
    sixth += (r + s) * (r * w - s * z);
  });
  return ((Math.PI * sixth) / 3) * ((n * Math.sin((2 * Math.PI) / n)) / (2 * Math.PI));
}

const arc = (count: number, from: number, to: number, at: (angle: number) => Point2): Point2[] =>
  Array.from({ length: count + 1 }, (_, i) => at(from + ((to - from) * i) / count));

/** A sphere of `rows` bands and `columns` sectors with poles on z. */
export function uvSphere(radius: number, columns = 48, rows = 24): Mesh {
  const inner = arc(rows, -Math.PI / 2, Math.PI / 2, (a) => [radius * Math.cos(a), radius * Math.sin(a)]).slice(1, -1);
  return revolve([[0, -radius], ...inner, [0, radius]], columns);
}

/** A ring about z: `R` to the middle of the section, section radius `r`, `nu` steps round the ring, `nv` round the section. */
export function torus(R: number, r: number, nu = 96, nv = 48): Mesh {
  return revolve(circle(r, nv, [R, 0]), nu);
}

/** A cylinder standing on z = 0. */
export function cylinder(radius: number, length: number, n = 64): Mesh {
  return frustum(radius, radius, length, n);
}

/** A cut cone standing on z = 0: radius `r0` there, `r1` at the top. */
export function frustum(r0: number, r1: number, length: number, n = 64): Mesh {
  return revolve(
    [
      [0, 0],
      [r0, 0],
      [r1, length],
      [0, length],
    ],
    n,
  );
}

/** A sphere of radius `R` about the origin with a round hole of radius `c` along z, `bands` steps on the outside. */
export function napkinRing(R: number, c: number, n = 96, bands = 48): Mesh {
  const reach = Math.acos(c / R);
  return revolve(
    arc(bands, -reach, reach, (a) => [a === reach || a === -reach ? c : R * Math.cos(a), R * Math.sin(a)]),
    n,
  );
}

/** Two flanges of radius `R` and thickness `flange`, between them a waist of radius `c` and height `w`; from z = 0. */
export function pulley(R: number, c: number, w: number, flange = 1, n = 96): Mesh {
  const top = 2 * flange + w;
  return revolve(
    [
      [0, 0],
      [R, 0],
      [R, flange],
      [c, flange],
      [c, flange + w],
      [R, flange + w],
      [R, top],
      [0, top],
    ],
    n,
  );
}

/** Two balls of radius `R` centred at z = ±`c0`, joined by a rod of radius `a`. */
export function dumbbell(R: number, c0: number, a: number, n = 96, bands = 48): Mesh {
  const q = Math.sqrt(R * R - a * a);
  const from = Math.atan2(a, q);
  const half = arc(bands, from, Math.PI, (t) => [R * Math.sin(t), -R * Math.cos(t)]).map(([r, z], i): Point2 => {
    return i === 0 ? [a, c0 - q] : i === bands ? [0, c0 + R] : [r, z + c0];
  });
  return revolve([...half.map(([r, z]): Point2 => [r, -z]).toReversed(), ...half], n);
}
