/** Runs in a thread of its own: tries the draws it is sent. Works as a Node worker thread and as a Web Worker. */
import { makeScratch, type CastScratch } from './cast-columns.js';
import {
  packTried,
  patternOfSearch,
  TRIED_STRIDE,
  type OpenSearch,
  type TriedBatch,
  type TryBatch,
} from './search-message.js';
import { tryDraw } from './try-draw.js';

type Message = { readonly open: OpenSearch } | { readonly work: TryBatch };

/** Makes the handler of one thread's messages. */
function makeHandler(answer: (tried: TriedBatch) => void): (message: Message) => void {
  let opened: { search: OpenSearch; scratch: CastScratch } | undefined;
  return (message) => {
    if ('open' in message) {
      opened = { search: message.open, scratch: makeScratch(patternOfSearch(message.open)) };
      return;
    }
    if (!opened) return;
    const { search, scratch } = opened;
    const pattern = patternOfSearch(search);
    const { batch, directions } = message.work;
    const tried = new Float64Array((directions.length / 3) * TRIED_STRIDE);
    for (let i = 0; i < directions.length / 3; i++) {
      const direction = [directions[3 * i], directions[3 * i + 1], directions[3 * i + 2]] as const;
      const { columns, rules } = search;
      packTried(tryDraw(pattern, direction, 'even sampling', columns, rules, scratch), tried, i);
    }
    answer({ batch, tried });
  };
}

const { parentPort } = typeof process === 'object' ? await import('node:worker_threads') : { parentPort: undefined };
if (parentPort) {
  parentPort.on(
    'message',
    makeHandler((tried) => parentPort.postMessage(tried)),
  );
} else {
  const scope = globalThis as unknown as {
    postMessage(tried: TriedBatch): void;
    addEventListener(kind: 'message', handle: (event: { data: Message }) => void): void;
  };
  const handle = makeHandler((tried) => scope.postMessage(tried));
  scope.addEventListener('message', (event) => handle(event.data));
}
