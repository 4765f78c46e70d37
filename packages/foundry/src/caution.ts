/** One caution: what to watch, when, and where that comes from. */
import type { Reference } from '@oddside/core';

/** A step of the work. */
export type Step = 'moulding' | 'melting' | 'pouring' | 'shaking out' | 'fettling' | 'finishing';

/** One caution. */
export interface Caution {
  /** Stable kebab-case word for programs. */
  readonly code: string;
  readonly text: string;
  /** The step it belongs to, or `always`. */
  readonly when: Step | 'always';
  readonly reference: Reference;
}
