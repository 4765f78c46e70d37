/** Findings: what is wrong with, or worth knowing about, a pattern or a job. Data, never console output. */

/**
 * `note`: worth knowing. `warning`: the result stands but look at it. `problem`: something the founder must settle first.
 */
export type Severity = 'note' | 'warning' | 'problem';

/** One thing found, in plain words, with what to do about it. */
export interface Finding {
  /** Stable kebab-case word for programs, such as `open-edges`. */
  readonly code: string;
  readonly severity: Severity;
  /** One sentence in plain words, with its numbers and units. */
  readonly message: string;
  /** A place on the pattern, mm in the pattern's own coordinates, where there is one to point at. */
  readonly where?: readonly [number, number, number];
  /** What the founder can do. */
  readonly remedy?: string;
}

const RANK: Readonly<Record<Severity, number>> = { problem: 0, warning: 1, note: 2 };

/** The same findings, the gravest first; order is kept among equals. The input is not changed. */
export function gravestFirst(findings: readonly Finding[]): Finding[] {
  return [...findings].sort((a, b) => RANK[a.severity] - RANK[b.severity]);
}
