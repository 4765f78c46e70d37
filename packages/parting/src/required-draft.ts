/**
 * How much draft a wall needs, by its height in the mould, by whether sand or metal shrinks on to it, and by practice.
 *
 * The tables differ several-fold: a century of workshop books puts finished patterns at 0.3–0.6°, teaching texts at 1–3°.
 * Each row carries where it comes from and how far that was checked.
 */
import {
  checkNumber,
  COMMON_PRACTICE,
  degrees,
  OddsideError,
  nearestNames,
  radians,
  resolveOptions,
} from '@oddside/core';
import type { Reference } from '@oddside/core';

/** One row: for walls up to a height, an angle outside and inside, or a width to add per side. */
interface DraftRow {
  readonly upTo: number;
  readonly outsideDeg?: number;
  readonly insideDeg?: number;
  readonly addPerSide?: number;
  /** Added to `addPerSide` for every mm beyond 250. */
  readonly growth?: number;
}

interface DraftTable {
  readonly label: string;
  readonly rows: readonly DraftRow[];
  readonly reference: Reference;
}

/** Practices by which draft can be asked for. */
export type DraftPractice =
  | 'one-off'
  | 'wood-pattern'
  | 'metal-or-plastic-pattern'
  | 'finished-bench-pattern'
  | 'din-1511'
  | 'en-12890-hand-clay';

const angles = (upTo: number, outsideDeg: number, insideDeg: number): DraftRow => ({ upTo, outsideDeg, insideDeg });
const width = (upTo: number, addPerSide: number): DraftRow => ({ upTo, addPerSide });

const memory = (source: string): Reference => ({ status: 'from memory', source });
const TEXTBOOK = memory('foundry textbook table after AFS (P. N. Rao, Manufacturing Technology: Foundry)');

/** 1/8 in per ft on each side. */
const EIGHTH_PER_FOOT_DEG = degrees(Math.atan(1 / 96));

const TABLES: Readonly<Record<DraftPractice, DraftTable>> = Object.freeze({
  'one-off': {
    label: 'one-off printed, scanned or carved pattern',
    rows: [angles(Infinity, 2, 3)],
    reference: COMMON_PRACTICE,
  },
  'wood-pattern': {
    label: 'wooden pattern, by height',
    rows: [angles(25, 3, 3), angles(50, 1.5, 2.5), angles(100, 1, 1.5), angles(200, 0.75, 1), angles(Infinity, 0.5, 1)],
    reference: TEXTBOOK,
  },
  'metal-or-plastic-pattern': {
    label: 'metal or plastic pattern, by height',
    rows: [
      angles(25, 1.5, 3),
      angles(50, 1, 2),
      angles(100, 0.75, 1),
      angles(200, 0.5, 1),
      angles(Infinity, 0.5, 0.75),
    ],
    reference: TEXTBOOK,
  },
  'finished-bench-pattern': {
    label: 'smooth, varnished pattern, 1/8 in per ft a side',
    rows: [angles(Infinity, EIGHTH_PER_FOOT_DEG, EIGHTH_PER_FOOT_DEG)],
    reference: {
      status: 'seen',
      source:
        'Amateur Work, vol. 1, 1901–02, moulding; Holtzapffel, Turning and Mechanical Manipulation, vol. 1 (1/16–1/8 in per ft)',
    },
  },
  'din-1511': {
    label: 'DIN 1511 (withdrawn), by height',
    // prettier-ignore
    rows: [
      angles(10, 3, 3), angles(18, 2, 2), angles(30, 1.5, 1.5), angles(50, 1, 1), angles(80, 0.75, 0.75),
      angles(180, 0.5, 0.5), width(250, 1.5), width(315, 2), width(400, 2.5), width(Infinity, 3),
    ],
    reference: memory('DIN 1511 (withdrawn); check the standard before quoting'),
  },
  'en-12890-hand-clay': {
    label: 'EN 12890:2000, hand moulding in clay-bonded sand',
    rows: [
      width(30, 1),
      width(80, 2),
      width(180, 3),
      width(250, 3.5),
      { upTo: Infinity, addPerSide: 3.5, growth: 1 / 150 },
    ],
    reference: memory('EN 12890:2000, low confidence; see the standard before quoting'),
  },
});

/**
 * A width per side asks for the more degrees the lower the wall, without end. Below this height, mm, the angle is held: what
 * is lower is a fillet's business, not draft's (common practice, no source).
 */
const LOWEST_WALL = 20;

/** All practices, with their labels and references. */
export function draftPractices(): { id: DraftPractice; label: string; reference: Reference }[] {
  return (Object.keys(TABLES) as DraftPractice[]).map((id) => {
    const { label, reference } = TABLES[id];
    return { id, label, reference };
  });
}

/** What {@link requiredDraft} takes besides the height. */
export interface RequiredDraftOptions {
  /** Default `one-off`: 2° outside, 3° inside. */
  readonly practice: DraftPractice;
  /** True for the walls of pockets and holes, where sand stands between metal. Default false. */
  readonly inside: boolean;
}

/** Defaults of {@link requiredDraft}. */
export const REQUIRED_DRAFT_DEFAULTS: RequiredDraftOptions = Object.freeze({ practice: 'one-off', inside: false });

/** The draft a wall needs. */
export interface RequiredDraft {
  readonly draftDeg: number;
  /** What that comes to at the wall's far end, mm on this side. */
  readonly taper: number;
  readonly reference: Reference;
}

/**
 * Looks up the draft that a wall of some height in the mould needs.
 *
 * @param height From the joint to the wall's far end, mm, at least 0.
 * @throws OddsideError `bad-number`, `bad-option`, `unknown-name` for a practice there is no table of.
 */
export function requiredDraft(height: number, options?: Partial<RequiredDraftOptions>): RequiredDraft {
  const { practice, inside } = resolveOptions('requiredDraft', REQUIRED_DRAFT_DEFAULTS, options);
  checkNumber('height (mm)', height, { min: 0 });
  const { rows, reference } = tableOf(practice);
  const row = rows.find(({ upTo }) => height <= upTo)!;
  const draftDeg =
    row.addPerSide === undefined
      ? inside
        ? row.insideDeg!
        : row.outsideDeg!
      : degrees(
          Math.atan((row.addPerSide + (row.growth ?? 0) * Math.max(0, height - 250)) / Math.max(height, LOWEST_WALL)),
        );
  return { draftDeg, taper: height * Math.tan(radians(draftDeg)), reference };
}

/** The steepest draft any wall may be asked for: faces beyond it need not be looked at. */
export function mostRequiredDeg(practice: DraftPractice): number {
  return Math.max(
    ...tableOf(practice).rows.map((row) =>
      row.addPerSide === undefined
        ? Math.max(row.insideDeg!, row.outsideDeg!)
        : degrees(Math.atan(row.addPerSide / LOWEST_WALL)),
    ),
  );
}

function tableOf(practice: DraftPractice): DraftTable {
  if (Object.hasOwn(TABLES, practice)) return TABLES[practice];
  const known = Object.keys(TABLES);
  throw new OddsideError(
    'unknown-name',
    `There is no draft table "${String(practice)}". Did you mean "${nearestNames(String(practice), known, 1)[0]}"? There are: ${known.join(', ')}.`,
    { given: practice, known },
  );
}
