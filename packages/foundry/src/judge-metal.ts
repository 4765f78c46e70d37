/** Whether the metal will do, in words. */
import { type Finding, formatMass, formatShare, type Ranged } from '@oddside/core';

/** How likely the pour runs short. */
export type ShortPourRisk = 'low' | 'some' | 'high';

/** The answer to "is it enough?". */
export interface MetalVerdict {
  readonly risk: ShortPourRisk;
  /** One or two plain sentences. */
  readonly text: string;
}

interface Judged {
  readonly castingMassKg: Ranged;
  readonly meltMassKg: Ranged;
  readonly chargeMassKg: Ranged;
  readonly yieldFraction: Ranged;
  readonly usualYield: Ranged;
  readonly availableMassKg: number | undefined;
  readonly systemKnown: boolean;
}

/**
 * The verdict. With metal at hand given, it is compared with the need. Without, the yield is compared with what is usual
 * for the metal: a planned melt that leaves less for sprue and feeders than others need is likely to run short.
 */
export function judgeMetal(job: Judged): MetalVerdict & { findings: Finding[] } {
  const kg = (mass: number): string => formatMass(mass, 'both');
  const beyond = job.meltMassKg.value - job.castingMassKg.value;
  if (beyond <= 0) {
    return risky(
      'high',
      `The melt of ${kg(job.meltMassKg.value)} is not even the casting's ${kg(job.castingMassKg.value)}: the pour will run short.`,
    );
  }
  const have = job.availableMassKg;
  if (have !== undefined && have < job.chargeMassKg.value) {
    return risky(
      'high',
      `${kg(have)} of metal is at hand and ${kg(job.chargeMassKg.value)} must be weighed in: short by ${kg(job.chargeMassKg.value - have)}. A mould that fills short is scrap.`,
    );
  }
  if (have !== undefined && have < job.chargeMassKg.high) {
    return risky(
      'some',
      `${kg(have)} of metal covers the expected need of ${kg(job.chargeMassKg.value)} but not the highest the errors allow, ${kg(job.chargeMassKg.high)}.`,
    );
  }
  const melt = `Melt ${kg(job.meltMassKg.value)}: ${kg(job.castingMassKg.value)} for the casting and ${kg(beyond)} for the rest, a yield of ${formatShare(job.yieldFraction.value)}.`;
  const { high } = job.usualYield;
  if (!job.systemKnown && job.yieldFraction.value > high + 0.1) {
    return risky(
      'high',
      `${melt} That is far above the usual ${formatShare(high)} at most: sprue, runner and feeders will hardly be filled.`,
    );
  }
  if (!job.systemKnown && job.yieldFraction.value > high + 1e-9) {
    return risky(
      'some',
      `${melt} That is above the usual ${formatShare(high)} at most: size the gating before pouring.`,
    );
  }
  if (job.castingMassKg.high > job.meltMassKg.value) {
    return risky(
      'some',
      `${melt} But at the high end of its error the casting alone would take ${kg(job.castingMassKg.high)}.`,
    );
  }
  return { risk: 'low', text: `${melt} Pig what is left in dry, hot moulds.`, findings: [] };
}

function risky(risk: ShortPourRisk, text: string): MetalVerdict & { findings: Finding[] } {
  const finding: Finding = {
    code: 'short-pour',
    severity: risk === 'high' ? 'problem' : 'warning',
    message: text,
    remedy: 'Melt more, or make gating and feeders smaller and check them again.',
  };
  return { risk, text, findings: [finding] };
}
