// @ts-check
// Plans in a worker of its own, so that the page stays awake. Messages in: { plan } or { cancel }; out: { alloys },
// { fraction }, { card, job, name }, { cancelled } or { error }.
import { renderMouldCard } from '@oddside/card';
import { alloys } from '@oddside/foundry';
import { planCasting, toJson } from 'oddside';

/** @type {AbortController | undefined} */
let running;

/** @param {object} message */
const tell = (message) => globalThis.postMessage(message, []);

/** @param {{ bytes: ArrayBuffer, name: string, options: Omit<import('oddside').PlanCastingOptions, 'name' | 'signal' | 'onProgress'> }} request */
async function plan({ bytes, name, options }) {
  running?.abort();
  const own = new AbortController();
  running = own;
  try {
    const job = await planCasting(new Uint8Array(bytes), {
      ...options,
      name: name.replace(/\.[^.]+$/, ''),
      signal: own.signal,
      onProgress: (fraction) => tell({ fraction }),
    });
    tell({ card: renderMouldCard(job), job: JSON.stringify(toJson(job)), name: job.pattern.name });
  } catch (error) {
    if (own.signal.aborted) tell({ cancelled: true });
    else tell({ error: error instanceof Error ? error.message : String(error) });
  } finally {
    if (running === own) running = undefined;
  }
}

globalThis.addEventListener('message', ({ data }) => {
  if (data.cancel) running?.abort(new DOMException('Cancelled', 'AbortError'));
  else if (data.plan) void plan(data.plan);
});

tell({ alloys: alloys.map(({ id, name }) => ({ id, name })) });
