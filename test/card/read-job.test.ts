import { readJob, renderMouldCard } from '@oddside/card';
import { isOddsideError, type OddsideError } from '@oddside/core';
import { Ajv } from 'ajv';
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { toJson, type CastingJob } from 'oddside';
import { beforeAll, describe, expect, it } from 'vitest';
import { makeSchema } from '../../packages/card/build-schema.mjs';
import { seededRandom } from '../helpers/shapes.js';
import { planBracket } from './sample-job.js';

const fileAt = (path: string): string =>
  readFileSync(fileURLToPath(new URL(`../../packages/card/${path}`, import.meta.url)), 'utf8');
const schema = JSON.parse(fileAt('schema/job-1.json'));
const fits = new Ajv({ allErrors: false, strict: false }).compile(schema);

const refusal = (source: unknown): OddsideError => {
  try {
    readJob(source);
  } catch (error) {
    if (isOddsideError(error)) return error;
    throw error;
  }
  throw new Error('it was read');
};

type Json = { [key: string]: Json } | Json[] | string | number | boolean | null;
/** Every place in a JSON value, with what holds it. */
function places(value: Json, found: { holder: Record<string, Json>; key: string }[] = []): typeof found {
  if (typeof value !== 'object' || value === null) return found;
  for (const key of Object.keys(value)) {
    found.push({ holder: value as Record<string, Json>, key });
    places((value as Record<string, Json>)[key], found);
  }
  return found;
}

describe('the schema', () => {
  it('is the one that the types give (if not: node packages/card/build-schema.mjs)', async () => {
    const { json, code } = await makeSchema();
    expect(fileAt('schema/job-1.json')).toBe(json);
    expect(fileAt('src/job-schema.ts')).toBe(code);
  });
});

describe('readJob', () => {
  let job: CastingJob;
  let text: string;
  beforeAll(async () => {
    job = await planBracket();
    text = JSON.stringify(toJson(job));
  });

  it('restores a real job, and the card made from it is the same', () => {
    const value = JSON.parse(text);
    expect(fits(value), JSON.stringify(fits.errors)).toBe(true);
    const restored = readJob(text);
    expect(restored).toEqual(value);
    expect(readJob(`\uFEFF${text}`)).toEqual(value);
    expect(renderMouldCard(restored)).toBe(renderMouldCard(job));
    const { scene: _scene, ...stills } = restored;
    expect(renderMouldCard(stills)).toBe(renderMouldCard({ ...job, scene: undefined }));
  });

  it('says what is wrong with a text that is no job', () => {
    expect(refusal('{').code).toBe('bad-file');
    expect(refusal('[1]').code).toBe('bad-file');
    expect(refusal(null).code).toBe('bad-file');
    expect(refusal({}).code).toBe('bad-file');
    expect(refusal({ schemaVersion: 2 })).toMatchObject({ code: 'unsupported-file', details: { version: 2 } });
    expect(refusal({ schemaVersion: 1 }).code).toBe('bad-file');
  });

  it('names the place of a number that is not one', () => {
    const value = JSON.parse(text);
    value.mould.copeDepth = 'deep';
    expect(refusal(value)).toMatchObject({ code: 'bad-file', details: { at: 'mould.copeDepth', came: '"deep"' } });
    value.mould.copeDepth = null;
    expect(refusal(value).message).toContain("The job's mould.copeDepth should be a finite number, but null came");
    delete value.mould.copeDepth;
    expect(refusal(value).details).toMatchObject({ at: 'mould.copeDepth', came: 'nothing' });
  });

  it('keeps what a later release may add', () => {
    const value = { ...JSON.parse(text), added: { later: true } };
    expect(readJob(value)).toHaveProperty('added.later', true);
  });

  it('needs no more than the card shows: without the rest the card is the same', () => {
    type Node = {
      $ref?: string;
      anyOf?: Node[];
      items?: Node | Node[];
      properties?: Record<string, Node>;
      required?: string[];
    };
    const strip = (value: Json, shape: Node): Json => {
      if (shape.$ref) return strip(value, schema.definitions[shape.$ref.replace('#/definitions/', '')]);
      if (shape.anyOf) return value;
      if (Array.isArray(value)) {
        return value.map((item, i) => strip(item, Array.isArray(shape.items) ? shape.items[i] : (shape.items ?? {})));
      }
      if (typeof value !== 'object' || value === null || !shape.properties) return value;
      // Optional parts of a job that the card shows where they are.
      const optional = [
        'feeder',
        'number',
        'fullness',
        'line',
        'surface',
        'legend',
        'remedy',
        'remedies',
        'laidAt',
        'section',
        'ladder',
        'across',
        'joint',
        'otherWayUp',
      ];
      const shown = new Set([...(shape.required ?? []), ...optional]);
      return Object.fromEntries(
        Object.entries(value)
          .filter(([key]) => shown.has(key))
          .map(([key, part]) => [key, strip(part, shape.properties![key] ?? {})]),
      );
    };
    const { scene: _scene, ...whole } = JSON.parse(text);
    const bare = strip(whole, schema);
    expect(JSON.stringify(bare).length).toBeLessThan(0.9 * JSON.stringify(whole).length);
    expect(renderMouldCard(readJob(bare))).toBe(renderMouldCard(readJob(whole)));
  });

  it('agrees with ajv about 600 jobs with one thing changed', () => {
    const random = seededRandom(11);
    const other: Json[] = [null, 'x', 7, true, [], {}, [1, 2], { min: 1 }];
    const found = places(JSON.parse(text) as Json).length;
    let bad = 0;
    for (let round = 0; round < 600; round++) {
      const value = JSON.parse(text);
      const { holder, key } = places(value)[Math.floor(random() * found)];
      if (random() < 0.3 && !Array.isArray(holder)) delete holder[key];
      else holder[key] = other[Math.floor(random() * other.length)];
      const good = fits(value) as boolean;
      let ours = true;
      try {
        readJob(value);
      } catch {
        ours = false;
      }
      expect(ours, `${key} changed`).toBe(good);
      if (!good) bad++;
    }
    expect(bad).toBeGreaterThan(300);
  });
});
