/** Tries many draws of one pattern, in this thread and in those that help. */
import { orAborted, turnOfTheEventLoop } from '@oddside/core';
import type { Pattern } from '@oddside/pattern';
import { makeScratch, type CastScratch } from './cast-columns.js';
import type { DrawRules } from './draw-rules.js';
import { type HelpingThreads } from './open-threads.js';
import { packDirections, unpackTried } from './thread-work.js';
import { tryDraw, type TriedDraw } from './try-draw.js';

/** A draw to try. */
export interface DrawToTry {
  readonly direction: readonly [number, number, number];
  readonly from: TriedDraw['from'];
}

/** Tries draws of one pattern. */
export interface DrawTrier {
  /** Triangles of the pattern. */
  readonly triangles: number;
  /**
   * Tries draws; the answers stand where their questions do.
   *
   * @param tick Called between draws with the share that is done; may yield.
   */
  tryAll(
    draws: readonly DrawToTry[],
    columns: number,
    rules: DrawRules,
    tick: (part: number) => Promise<void>,
  ): Promise<TriedDraw[]>;
}

/** Most draws to a message: enough work to outweigh it, few enough to share out evenly and to stop soon. */
const BATCH = 16;
/** As many draws as this or fewer are a ring: tried whole by one thread while another tries another's. */
const RING_AT_MOST = 8;
/** Messages a thread has waiting, so that it never idles while this one is busy. */
const AHEAD = 2;

/** How many calls are under way, over all the likenesses of a pattern. */
export interface CallsUnderWay {
  count: number;
}

/**
 * What tries the draws of a pattern; without threads it does it alone.
 *
 * @param calls Shared by triers that are asked at the same time. Default: no other is.
 * @param scratch What this thread casts with, if there is one of the pattern already.
 */
export function openTrier(
  pattern: Pattern,
  threads: HelpingThreads | undefined,
  signal?: AbortSignal,
  calls: CallsUnderWay = { count: 0 },
  scratch: CastScratch = makeScratch(pattern),
): DrawTrier {
  const triangles = pattern.triangles.length / 3;
  const tryHere: DrawTrier['tryAll'] = (draws, columns, rules, tick) =>
    tryInTurn(pattern, scratch, draws, columns, rules, tick);
  if (!threads) return { triangles, tryAll: tryHere };

  /** Asks one of the threads for some of the draws. */
  const ask = async (
    draws: readonly DrawToTry[],
    columns: number,
    rules: DrawRules,
    thread?: number,
  ): Promise<TriedDraw[]> => {
    const directions = packDirections(draws);
    // Asked for anew each time, because threads keep only what was asked for lately.
    const known = { key: threads.keyOf(pattern), rules: threads.keyOfRules(rules) };
    const packed = await threads.ask({ kind: 'try', ...known, columns, directions }, thread);
    return draws.map((draw, i) => unpackTried(packed, i, draw.from));
  };
  /** Another ring is being tried: each goes whole to who is free, so that there are few messages and none is idle. */
  const tryRing: DrawTrier['tryAll'] = async (draws, columns, rules, tick) => {
    if (threads.leastWaiting() === 0) return orAborted(ask(draws, columns, rules), signal);
    // Now and then whoever tries the other ring hears what the threads have answered, so that they get the next.
    const tried: TriedDraw[] = [];
    for (let from = 0; from < draws.length; from += 2) {
      tried.push(...(await tryHere(draws.slice(from, from + 2), columns, rules, tick)));
      await turnOfTheEventLoop();
    }
    return tried;
  };
  const shareOut: DrawTrier['tryAll'] = async (draws, columns, rules, tick) => {
    const tried: TriedDraw[] = Array.from({ length: draws.length });
    let next = 0;
    let done = 0;
    // Large pieces first, single draws towards the end, so that all finish together.
    const take = (): { from: number; to: number } | undefined => {
      if (next >= draws.length || signal?.aborted) return undefined;
      const size = Math.ceil((draws.length - next) / (AHEAD * (threads.count + 1)));
      const from = next;
      next = Math.min(draws.length, from + Math.max(1, Math.min(BATCH, size)));
      return { from, to: next };
    };
    const feed = async (thread: number): Promise<void> => {
      for (let piece = take(); piece; piece = take()) {
        const { from, to } = piece;
        const some = await ask(draws.slice(from, to), columns, rules, thread);
        for (let i = from; i < to; i++) tried[i] = some[i - from];
        done += to - from;
      }
    };
    // This thread takes its share too: it needs no starting, so it works while the others wake up.
    const fed: Promise<void>[] = [];
    for (let k = 0; k < threads.count * AHEAD; k++) fed.push(feed(k % threads.count));
    const others = Promise.all(fed);
    // Whoever waits for it hears of a failure; until then it is nobody's fault.
    others.catch(() => undefined);
    for (let piece = take(); piece; piece = take()) {
      for (let i = piece.from; i < piece.to; i++) {
        tried[i] = tryDraw(pattern, draws[i].direction, draws[i].from, columns, rules, scratch);
      }
      done += piece.to - piece.from;
      await tick(done / draws.length);
      await turnOfTheEventLoop();
    }
    await orAborted(others, signal);
    await tick(1);
    return tried;
  };
  return {
    triangles,
    tryAll: async (draws, columns, rules, tick) => {
      if (draws.length < 2) return tryHere(draws, columns, rules, tick);
      const way = calls.count > 0 && draws.length <= RING_AT_MOST ? tryRing : shareOut;
      calls.count++;
      try {
        return await way(draws, columns, rules, tick);
      } finally {
        calls.count--;
      }
    },
  };
}

/** Tries draws one after another in this thread. */
async function tryInTurn(
  pattern: Pattern,
  scratch: CastScratch,
  draws: readonly DrawToTry[],
  columns: number,
  rules: DrawRules,
  tick: (part: number) => Promise<void>,
): Promise<TriedDraw[]> {
  const tried: TriedDraw[] = [];
  for (const { direction, from } of draws) {
    tried.push(tryDraw(pattern, direction, from, columns, rules, scratch));
    await tick(tried.length / draws.length);
  }
  return tried;
}
