/** What a pattern needs besides its halves: cores with prints and boxes, and loose pieces. */
import type { Finding, TaskOptions } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import type { Joint, Solids } from '@oddside/solids';
import type { MadePart } from './made-part.js';

/** What is asked for. */
export interface ExtraWishes extends Pick<TaskOptions, 'signal'> {
  readonly cores: boolean;
  readonly loosePieces: boolean;
  readonly printWall: number;
  readonly standSand: number;
}

/** What was made. */
export interface Extras {
  readonly parts: readonly MadePart[];
  readonly findings: readonly Finding[];
  /** The pattern with prints, its loose pieces still on it, and without them. */
  readonly whole: Pattern;
  readonly main: Pattern;
  /** True where the main pattern has holes for pins, which filling would close. */
  readonly pinned: boolean;
}

/** Makes cores first, then loose pieces of what is still trapped along the joint. */
export async function makeExtras(
  solids: Solids,
  laid: Pattern,
  joint: Joint,
  { cores, loosePieces, printWall, standSand, signal }: ExtraWishes,
): Promise<Extras> {
  const parts: MadePart[] = [];
  const findings: Finding[] = [];
  let whole = laid;
  if (cores) {
    const made = await solids.makeCores(laid, [0, 0, 1], { joint, printWall, standSand, signal });
    whole = made.pattern;
    for (const [n, { core, box }] of made.cores.entries()) {
      const name = `core-${n + 1}`;
      parts.push({ name, pattern: core });
      if (!box) continue;
      parts.push({ name: `${name}-box-over`, pattern: box.over }, { name: `${name}-box-under`, pattern: box.under });
      for (const [k, dowel] of box.dowelSolids.entries()) {
        parts.push({ name: `${name}-box-dowel-${k + 1}`, pattern: dowel });
      }
    }
    // What the pattern with prints still tears along the joint is filled in its halves, or freed by loose pieces: both say so.
    findings.push(...made.findings.filter(({ code }) => code !== 'torn-sand'));
  }
  if (!loosePieces) return { parts, findings, whole, main: whole, pinned: false };
  // With cores the sand round the pattern was looked at with them.
  const sand = cores ? 0 : standSand;
  const loose = await solids.loosePieces(whole, [0, 0, 1], { joint, printWall, standSand: sand, signal });
  for (const [n, piece] of loose.pieces.entries()) {
    const name = `loose-piece-${n + 1}`;
    parts.push({ name, pattern: piece.pattern });
    for (const [k, pin] of piece.pinSolids.entries()) parts.push({ name: `${name}-pin-${k + 1}`, pattern: pin });
  }
  findings.push(...loose.findings);
  return { parts, findings, whole, main: loose.main, pinned: loose.pieces.some(({ pins }) => pins.length > 0) };
}
