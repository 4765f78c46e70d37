/** What cores add to the lift of the cope. */
import { checkChoice, checkNumber, type Finding, type Ranged, type Working } from '@oddside/core';
import { GRAVITY } from './gravity.js';
import { derived, RICHARDS } from './references.js';
import { exactly, mapRange, plus, quantity, working } from './result.js';

/**
 * A core. `surrounded`: metal all round it but its prints; it floats. `seated`: flat on the drag sand, no metal under it;
 * it is pressed down. `hung`: fixed to the cope with metal under it.
 */
export type Core =
  | { readonly kind: 'surrounded'; readonly volumeMm3: number; readonly densityKgM3?: number }
  | { readonly kind: 'seated'; readonly volumeMm3: number }
  | {
      readonly kind: 'hung';
      /** Volume below its top, within the metal, mm³. */
      readonly volumeMm3: number;
      /** Plan area of its top, mm². */
      readonly planAreaMm2: number;
      /** How far its top lies below the level of the metal, mm. Default: the parting's depth. */
      readonly topDepth?: number;
      readonly densityKgM3?: number;
    };

/** The low end of rammed core sand: a core's weight helps, so it is counted low. */
const CORE_DENSITY = 1450;

/** Net force through the prints into the cope, N. */
export function liftOfCores(
  cores: readonly Core[],
  liquid: Ranged,
  head: number,
): { forceN: Ranged; workings: Working[]; findings: Finding[] } {
  const workings: Working[] = [];
  const findings: Finding[] = [];
  const forces = cores.map((core, i): Ranged => {
    const what = `cores[${i}]`;
    const volume = checkNumber(`${what}.volumeMm3 (mm³)`, core.volumeMm3, { min: 0 });
    checkChoice(`copeLift: ${what}.kind`, core.kind, ['surrounded', 'seated', 'hung']);
    if (core.kind === 'seated') {
      findings.push({
        code: 'core-pressed-down',
        severity: 'note',
        message: `Core ${i + 1} is seated flat on the drag and is pressed down, as long as no metal gets under it.`,
        remedy: 'Seal its seat; a core that metal creeps under floats with its full buoyancy.',
      });
      return exactly(0);
    }
    const own = checkNumber(`${what}.densityKgM3 (kg/m³)`, core.densityKgM3 ?? CORE_DENSITY, { min: 0, max: 9000 });
    const column =
      core.kind === 'hung'
        ? checkNumber(`${what}.planAreaMm2 (mm²)`, core.planAreaMm2, { min: 0 }) *
          checkNumber(`${what}.topDepth (mm)`, core.topDepth ?? head, { min: 0 })
        : 0;
    const force = mapRange(liquid, (rho) => (rho * (column + volume) - own * volume) * GRAVITY * 1e-9);
    workings.push(
      working(
        `lift of a ${core.kind} core`,
        core.kind === 'hung' ? 'F = g [ρ (A d + V) − ρ_core V]' : 'F = g V (ρ − ρ_core)',
        [
          quantity('core volume V', volume, 'mm³'),
          quantity('column over it A d', column, 'mm³'),
          quantity('core density', own, 'kg/m³'),
          quantity('liquid density', liquid.value, 'kg/m³'),
        ],
        quantity('lift', force.value, 'N'),
        core.kind === 'hung' ? derived('hydrostatics of a hung core') : RICHARDS,
      ),
    );
    return force;
  });
  return { forceN: forces.length === 0 ? exactly(0) : plus(...forces), workings, findings };
}
