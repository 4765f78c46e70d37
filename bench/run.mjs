// @ts-check
// Runs bench/cases/*.mjs: `npm run bench -- --filter draw --json out.json`.
import { appendFileSync, existsSync, mkdirSync, readFileSync, readdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { parseArgs } from 'node:util';
import { measure, processorName } from './harness.mjs';

const here = dirname(fileURLToPath(import.meta.url));
const { values } = parseArgs({ options: { filter: { type: 'string', default: '' }, json: { type: 'string' } } });
const { version } = JSON.parse(readFileSync(join(here, '..', 'package.json'), 'utf8'));

/** @param {number | undefined} value @param {number} [digits] */
const plain = (value, digits = 3) => (value === undefined ? '' : Number(value.toPrecision(digits)).toString());

/** @param {import('./harness.mjs').Outcome} outcome */
function report({ name, peer, ours, theirs, ratio, atLeast, atMostMs, verdict, difference, note }) {
  /** @param {import('./harness.mjs').Times} times */
  const times = ({ medianMs, minMs, spread, samples }) =>
    `${plain(medianMs).padStart(8)} ms  (best ${plain(minMs)}, middle half ±${(50 * spread).toFixed(0)} %, ${samples} samples)`;
  const lines = [`${verdict.padEnd(8)}${name}`, `          ours    ${times(ours)}`];
  if (theirs) lines.push(`          theirs  ${times(theirs)}  ${peer}`);
  else if (peer) lines.push(`          ${peer}`);
  if (note) lines.push(`          ${note}`);
  if (ratio !== undefined) {
    const asked = atLeast === undefined ? '' : `, at least ${atLeast} asked`;
    lines.push(`          ${plain(ratio)} times as fast${asked}`);
  }
  if (atMostMs !== undefined) lines.push(`          at most ${atMostMs} ms asked`);
  if (difference) lines.push(`          ${difference}`);
  process.stdout.write(`${lines.join('\n')}\n`);
}

/** Adds the run to the history of this processor. @param {readonly import('./harness.mjs').Outcome[]} outcomes */
function keep(outcomes) {
  const file = join(here, 'results', `${processorName()}.csv`);
  mkdirSync(dirname(file), { recursive: true });
  const heads =
    'date,version,node,case,peer,ours_ms,ours_best_ms,ours_spread,theirs_ms,theirs_best_ms,theirs_spread,ratio,at_least,at_most_ms,verdict';
  if (!existsSync(file)) writeFileSync(file, `${heads}\n`);
  const date = new Date().toISOString().slice(0, 19);
  const quoted = (/** @type {string} */ text) => `"${text.replaceAll('"', '""')}"`;
  for (const { name, peer = '', ours, theirs, ratio, atLeast, atMostMs, verdict } of outcomes) {
    const sides = [ours, theirs].flatMap((t) => [plain(t?.medianMs, 4), plain(t?.minMs, 4), plain(t?.spread, 2)]);
    const row = [date, version, process.version, quoted(name), quoted(peer), ...sides];
    appendFileSync(file, `${[...row, plain(ratio), atLeast ?? '', atMostMs ?? '', verdict].join(',')}\n`);
  }
  return file;
}

const outcomes = [];
const folder = join(here, 'cases');
for (const file of existsSync(folder)
  ? readdirSync(folder)
      .filter((name) => name.endsWith('.mjs'))
      .sort()
  : []) {
  const { cases } = await import(pathToFileURL(join(folder, file)).href);
  for (const each of cases) {
    if (!`${file} ${each.name}`.includes(values.filter)) continue;
    const outcome = await measure(each);
    report(outcome);
    outcomes.push(outcome);
  }
}

if (outcomes.length === 0) {
  process.stdout.write(
    `No case${values.filter ? ` with "${values.filter}" in its file or name` : ''} in bench/cases.\n`,
  );
  process.exitCode = 1;
} else {
  const kept = keep(outcomes);
  if (values.json) {
    const rows = outcomes.map((outcome) => ({ ...outcome, sink: undefined }));
    writeFileSync(
      values.json,
      `${JSON.stringify({ version, node: process.version, processor: processorName(), rows }, null, 2)}\n`,
    );
  }
  const bad = outcomes.filter(({ verdict }) => verdict !== 'ok').length;
  process.stdout.write(
    `${outcomes.length - bad} passed, ${bad} failed; kept in bench/results/${kept.split(/[\\/]/).at(-1)}\n`,
  );
  process.exitCode = bad > 0 ? 1 : 0;
}
