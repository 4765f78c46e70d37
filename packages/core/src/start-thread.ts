/** Threads for long work, the same way in Node (worker threads) and in a browser (Web Workers). */

/** A thread, seen from where it was started. */
export interface Thread<Posted, Returned> {
  /** Posts a message, copied but for the memory in `transfer`, which is handed over. @throws the platform's `DataCloneError`. */
  post(message: Posted, transfer?: readonly ArrayBufferLike[]): void;
  /** Hears what it posts, and that it died of an error or cannot be understood. Messages come in the order they were posted in. */
  listen(onMessage: (message: Returned) => void, onFailure: (error: unknown) => void): void;
  /** Whether the program goes on running for the thread's sake. A browser's page does not care. */
  holdOpen(hold: boolean): void;
  /** Ends it at once, whatever it does. */
  end(): void;
}

/**
 * Starts a thread. Some 50 ms pass until it hears messages; those posted before are kept for it.
 *
 * @param file What it runs in Node: plain JavaScript.
 * @param inBrowser Makes the browser's `Worker`. Written out by the caller, because bundlers look for just that.
 * @throws Error where the platform has no threads.
 */
export async function startThread<Posted, Returned>(
  file: URL,
  inBrowser: () => object,
): Promise<Thread<Posted, Returned>> {
  if (isNode()) return startNodeThread(file);
  if (typeof Worker === 'undefined') throw new Error('This platform has no Worker.');
  const worker = inBrowser() as Worker;
  return {
    post: (message, transfer = []) => worker.postMessage(message, transfer as Transferable[]),
    listen: (onMessage, onFailure) => {
      worker.addEventListener('message', (event) => onMessage(event.data as Returned));
      worker.addEventListener('error', (event) => onFailure(new Error(event.message)));
      worker.addEventListener('messageerror', () => onFailure(new Error('A message could not be read.')));
    },
    holdOpen: () => undefined,
    end: () => worker.terminate(),
  };
}

async function startNodeThread<Posted, Returned>(file: URL): Promise<Thread<Posted, Returned>> {
  const threads = await import(/* @vite-ignore */ 'node:worker_threads');
  // The thread needs none of the program's own flags (a loader, a debugger's port).
  const worker = new threads.Worker(file, { execArgv: [] });
  let ended = false;
  return {
    post: (message, transfer = []) => worker.postMessage(message, transfer as ArrayBuffer[]),
    listen: (onMessage, onFailure) => {
      worker.on('message', onMessage);
      worker.on('error', onFailure);
      worker.on('messageerror', onFailure);
      worker.on('exit', (code) => {
        if (!ended) onFailure(new Error(`The thread ended by itself, with code ${code}.`));
      });
    },
    holdOpen: (hold) => (hold ? worker.ref() : worker.unref()),
    end: () => {
      ended = true;
      void worker.terminate();
    },
  };
}

/**
 * The other side: in a thread, hears what is posted to it. Called while the thread's file is first run, so that no message
 * is missed.
 */
export function answerPosts<Posted, Returned>(
  handle: (message: Posted, answer: (returned: Returned, transfer?: readonly ArrayBufferLike[]) => void) => void,
): void {
  if (isNode()) {
    void import(/* @vite-ignore */ 'node:worker_threads').then(({ parentPort }) => {
      parentPort?.on('message', (message: Posted) =>
        handle(message, (returned, transfer = []) => parentPort.postMessage(returned, transfer as ArrayBuffer[])),
      );
    });
    return;
  }
  const scope = globalThis as unknown as {
    postMessage(returned: Returned, transfer: readonly ArrayBufferLike[]): void;
    addEventListener(kind: 'message', heed: (event: { data: Posted }) => void): void;
  };
  scope.addEventListener('message', ({ data }) =>
    handle(data, (returned, transfer = []) => scope.postMessage(returned, transfer)),
  );
}

/** Waits for a promise, or for the abort, whose reason it throws. */
export async function orAborted<T>(work: Promise<T>, signal: AbortSignal | undefined): Promise<T> {
  if (!signal) return work;
  // Once the abort was heard, nobody waits for the work any more.
  work.catch(() => undefined);
  signal.throwIfAborted();
  let stop = (): void => undefined;
  const aborted = new Promise<never>((_, reject) => {
    stop = () => reject(signal.reason);
    signal.addEventListener('abort', stop, { once: true });
  });
  try {
    return await Promise.race([work, aborted]);
  } finally {
    signal.removeEventListener('abort', stop);
  }
}

const isNode = (): boolean => typeof process === 'object' && Boolean(process.versions?.node);
