/** What threads that make solids are asked, and what they answer. Everything here can be posted from thread to thread. */
import { OddsideError, isOddsideError, type OddsideErrorCode, type Vec3 } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import type { HalfInWork, HalfSide } from './half-in-work.js';
import type { KeptHalf } from './kept-halves.js';
import type { Asked, Made, TaskName } from './solids.js';
import type { SplitPatternOptions } from './split-options.js';

/** Loads the kernel. */
export interface OpenWork {
  readonly kind: 'open';
}

/** A whole task. */
export interface TaskWork<T extends TaskName = TaskName> {
  readonly kind: 'task';
  readonly task: T;
  readonly asked: Asked<T>;
  /** The half that was kept of the pattern, for a board. */
  readonly kept: KeptHalf | null;
}

/** Where among what a task is asked its options stand. */
export const optionsAt = (task: TaskName): 1 | 2 => (task === 'makeSolid' || task === 'scalePattern' ? 1 : 2);

/** A half of a split is begun; it stays in the thread, by its number, until it is left. */
export interface BeginHalfWork {
  readonly kind: 'begin';
  readonly half: number;
  /** The same number for both halves of a split: in one thread they share what both need. */
  readonly split: number;
  readonly side: HalfSide;
  readonly pattern: Pattern;
  readonly direction: Vec3;
  readonly options: SplitPatternOptions;
}

export type HalfStep = keyof HalfInWork;

/** A step of a half that was begun. */
export interface HalfWork<S extends HalfStep = HalfStep> {
  readonly kind: 'half';
  readonly half: number;
  readonly step: S;
  readonly given: Parameters<HalfInWork[S]>;
}

export type Work = OpenWork | TaskWork | BeginHalfWork | HalfWork;

/** What comes of a task, with the half that it made for a board. */
export interface TaskDone<T extends TaskName = TaskName> {
  readonly made: Made<T>;
  readonly kept: KeptHalf | null;
}

/** What comes of a piece of work. */
export type DoneOf<W extends Work> =
  W extends TaskWork<infer T>
    ? TaskDone<T>
    : W extends HalfWork<infer S>
      ? Awaited<ReturnType<HalfInWork[S]>>
      : undefined;

/** As it is posted: work, with a number by which its answer is known; work to be stopped; a half to be left. */
export type Posted =
  { readonly number: number; readonly work: Work } | { readonly stop: number } | { readonly leave: number };

/** As it comes back. */
export type Returned =
  | { readonly number: number; readonly fraction: number }
  | { readonly number: number; readonly done: DoneOf<Work> }
  | { readonly number: number; readonly failed: PostedError };

/** An error as it is posted. A copy of an OddsideError would be a plain Error: it is taken apart here and put together there. */
export interface PostedError {
  readonly ours: { readonly code: OddsideErrorCode; readonly details: Readonly<Record<string, unknown>> } | null;
  readonly message: string;
  /** The error itself, or what caused ours; `undefined` where it is none. */
  readonly error: Error | undefined;
}

export function packError(error: unknown): PostedError {
  const asError = (value: unknown): Error | undefined => (value instanceof Error ? value : undefined);
  if (!isOddsideError(error)) return { ours: null, message: String(error), error: asError(error) };
  const { code, details, message, cause } = error;
  return { ours: { code, details }, message, error: asError(cause) };
}

export function unpackError({ ours, message, error }: PostedError): unknown {
  if (!ours) return error ?? new Error(message);
  return new OddsideError(ours.code, message, { ...ours.details }, error && { cause: error });
}

/** A pattern as it is now, in memory of its own that can be handed over; what is none stays as it is. */
export function copied(pattern: Pattern): Pattern {
  const { positions, triangles } = pattern ?? {};
  if (!(positions instanceof Float64Array) || !(triangles instanceof Uint32Array)) return pattern;
  const { name, unit, findings } = pattern;
  return { ...pattern, name, unit, findings, positions: positions.slice(), triangles: triangles.slice() };
}

/** The memory of a copied pattern. */
export function memoryOf(pattern: Pattern): ArrayBufferLike[] {
  return pattern?.positions instanceof Float64Array ? [pattern.positions.buffer, pattern.triangles.buffer] : [];
}

/** All memory in an answer, so that it is handed over and not copied. */
export function memoryIn(value: unknown, found: Set<ArrayBufferLike> = new Set()): Set<ArrayBufferLike> {
  if (ArrayBuffer.isView(value)) found.add(value.buffer);
  else if (typeof value === 'object' && value !== null) for (const each of Object.values(value)) memoryIn(each, found);
  return found;
}
