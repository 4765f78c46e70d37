/** A look at what was made: is a wall too thin to print, or sand too thin to stand? */
import {
  checkNumber,
  formatLength,
  formatShare,
  resolveOptions,
  startPacing,
  type Finding,
  type TaskOptions,
} from '@oddside/core';
import { findThinPlaces, type Pattern } from '@oddside/pattern';

/** What `checkThinWalls` takes. */
export interface ThinWallOptions extends TaskOptions {
  /** Walls of the solid thinner than this are told, mm; 0: not looked for. Default 1.2 (three lines of a 0.4 mm nozzle; common practice, no source). */
  readonly printWall: number;
  /** Sand between walls of the solid thinner than this is told, mm; 0: not looked for. Default 0, because only a pattern moulds sand. */
  readonly standSand: number;
  /** True where the solids are of sand themselves, cores or halves of a mould: then only `standSand` counts, for their own walls. Default false. */
  readonly ofSand: boolean;
  /** Points of each solid looked at, about, 100–100,000. Default 4,000. */
  readonly samples: number;
}

/** Defaults of `checkThinWalls`. */
export const THIN_WALL_DEFAULTS: ThinWallOptions = Object.freeze({
  printWall: 1.2,
  standSand: 0,
  ofSand: false,
  samples: 4000,
  signal: undefined,
  onProgress: undefined,
});

/** Sand thinner than this breaks off when a pattern is drawn, mm (common practice for hand moulding, no source). */
export const STAND_SAND = 3;
/** Solids with more triangles than this are not looked at in passing, and that is said. */
const MOST_TRIANGLES = 2_000_000;

/** What every maker of solids takes about thin walls. */
export type WallLimits = Pick<ThinWallOptions, 'printWall' | 'standSand'>;

/** Checks the limits before any work is done. @throws OddsideError `bad-number`. */
export function checkWallLimits({ printWall, standSand }: WallLimits): void {
  checkNumber('printWall (mm)', printWall, { min: 0, max: 1000 });
  checkNumber('standSand (mm)', standSand, { min: 0, max: 1000 });
}

/**
 * Looks for thin walls on a sample of points. A finding for each solid that has any, with the thinnest place found and
 * how far apart the points are: what is smaller may have been missed.
 *
 * Cost: about 0.3 s for a million triangles, and some 10 µs a point: 0.06 s for 100,000 triangles.
 *
 * @throws OddsideError `bad-number`, `bad-option`, `bad-pattern`. The signal's reason after an abort.
 */
export async function checkThinWalls(
  solids: readonly (Pattern | null)[],
  options?: Partial<ThinWallOptions>,
): Promise<Finding[]> {
  const chosen = resolveOptions('checkThinWalls', THIN_WALL_DEFAULTS, options);
  checkWallLimits(chosen);
  checkNumber('samples', chosen.samples, { min: 100, max: 1e5, whole: true });
  const pacer = startPacing(chosen);
  const { signal, samples } = chosen;
  const looks = chosen.ofSand
    ? ([['metal', chosen.standSand, thinSand]] as const)
    : ([
        ['metal', chosen.printWall, thinWall],
        ['sand', chosen.standSand, sandFin],
      ] as const);
  const findings: Finding[] = [];
  for (const [n, solid] of solids.entries()) {
    await pacer.step(n / solids.length);
    if (!solid) continue;
    if (solid.triangles.length / 3 > MOST_TRIANGLES) {
      findings.push(notLookedAt(solid));
      continue;
    }
    for (const [side, thinner, say] of looks) {
      if (thinner === 0) continue;
      const { thinnest, share, spacing } = await findThinPlaces(solid, thinner, { side, samples, signal });
      if (thinnest) findings.push(say(solid, { ...thinnest, share, spacing, thinner }));
    }
  }
  pacer.finish();
  return findings;
}

interface Thin {
  readonly thickness: number;
  readonly where: readonly [number, number, number];
  readonly share: number;
  readonly spacing: number;
  readonly thinner: number;
}

const lookedAt = ({ share, spacing }: Thin): string =>
  `${formatShare(share, 2)} of its surface is; points ${formatLength(spacing, 'metric', 2)} apart were looked at`;

/** Thinner than this share of the limit it is an edge that runs out, and its thickness only says where points fell. */
const EDGE = 0.2;

const howThick = ({ thickness, thinner }: Thin): string =>
  thickness < EDGE * thinner ? 'runs out to an edge' : `is ${formatLength(thickness)} thick`;

function thinWall(solid: Pattern, thin: Thin): Finding {
  return {
    code: 'thin-wall',
    severity: 'warning',
    message: `A wall of ${solid.name} ${howThick(thin)}, thinner than the ${formatLength(thin.thinner)} that prints well (${lookedAt(thin)}).`,
    where: thin.where,
    remedy: 'Thicken the wall, print with a finer nozzle, or make the part of another stuff.',
  };
}

function sandFin(solid: Pattern, thin: Thin): Finding {
  return {
    code: 'sand-fin',
    severity: 'warning',
    message: `Sand between walls of ${solid.name} ${howThick(thin)} and may not stand; ${formatLength(thin.thinner)} is asked for (${lookedAt(thin)}).`,
    where: thin.where,
    remedy: 'Stiffen it with a nail or rod, fill the gap in the pattern, or make it as a core.',
  };
}

function thinSand(solid: Pattern, thin: Thin): Finding {
  return {
    code: 'sand-fin',
    severity: 'warning',
    message: `The sand of ${solid.name} ${howThick(thin)} and may not stand; ${formatLength(thin.thinner)} is asked for (${lookedAt(thin)}).`,
    where: thin.where,
    remedy: 'Stiffen it with wire or a nail, or make the place thicker.',
  };
}

function notLookedAt(solid: Pattern): Finding {
  return {
    code: 'walls-not-checked',
    severity: 'note',
    message: `${solid.name} has ${solid.triangles.length / 3} triangles, more than ${MOST_TRIANGLES}: it was not looked over for thin walls.`,
    remedy: 'Simplify it first, or measure its sections.',
  };
}
