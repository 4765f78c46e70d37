/** One thing to print or mill. */
import type { Pattern } from '@oddside/pattern';

/** A part with the name of its file, without ending. */
export interface MadePart {
  readonly name: string;
  readonly pattern: Pattern;
}
