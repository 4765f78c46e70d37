/** Does a value have the shape that a JSON Schema says? The part of draft-07 that our own generated schema uses. */

/** The keywords understood. Everything else in a schema is left alone. */
export interface Shape {
  readonly $ref?: string;
  readonly type?: 'string' | 'number' | 'boolean' | 'null' | 'array' | 'object';
  readonly const?: unknown;
  readonly enum?: readonly unknown[];
  readonly anyOf?: readonly Shape[];
  readonly items?: Shape | readonly Shape[];
  readonly minItems?: number;
  readonly maxItems?: number;
  readonly properties?: Readonly<Record<string, Shape>>;
  readonly required?: readonly string[];
  readonly additionalProperties?: Shape;
  readonly definitions?: Readonly<Record<string, Shape>>;
}

/** Where a value departs from its shape: the place, what was expected and what came. */
export interface Misfit {
  readonly at: string;
  readonly expected: string;
  readonly came: string;
}

/** The first place where a value departs from a shape, or `undefined`. Cost: one pass over the value. */
export function findMisfit(value: unknown, root: Shape): Misfit | undefined {
  return look(value, root, '', root);
}

function look(value: unknown, shape: Shape, at: string, root: Shape): Misfit | undefined {
  if (shape.$ref !== undefined) {
    return look(value, root.definitions?.[shape.$ref.replace('#/definitions/', '')] ?? {}, at, root);
  }
  const wrong = (expected: string): Misfit => ({ at: at === '' ? 'the job' : at.slice(1), expected, came: say(value) });
  if ('const' in shape && value !== shape.const) return wrong(JSON.stringify(shape.const));
  if (shape.enum && !shape.enum.includes(value)) return wrong(`one of ${shape.enum.join(', ')}`);
  if (shape.anyOf && shape.anyOf.every((each) => look(value, each, at, root))) {
    const closest = shape.anyOf.find((each) => !differentKind(value, each, root)) ?? shape.anyOf[0];
    return look(value, closest, at, root);
  }
  if (shape.type !== undefined && kindOf(value) !== shape.type) return wrong(WORDS[shape.type] ?? shape.type);
  if (Array.isArray(value)) return lookAtItems(value, shape, at, root, wrong);
  if (kindOf(value) === 'object') return lookAtFields(value as Record<string, unknown>, shape, at, root);
  return undefined;
}

function lookAtItems(
  value: readonly unknown[],
  { items, minItems = 0, maxItems = Infinity }: Shape,
  at: string,
  root: Shape,
  wrong: (expected: string) => Misfit,
): Misfit | undefined {
  if (value.length < minItems) return wrong(`a list of at least ${minItems}`);
  if (value.length > maxItems) return wrong(`a list of at most ${maxItems}`);
  for (const [i, item] of value.entries()) {
    const each = isList(items) ? items[i] : items;
    const misfit = each && look(item, each, `${at}.${i}`, root);
    if (misfit) return misfit;
  }
  return undefined;
}

function lookAtFields(value: Record<string, unknown>, shape: Shape, at: string, root: Shape): Misfit | undefined {
  for (const name of shape.required ?? []) {
    if (value[name] !== undefined && Object.hasOwn(value, name)) continue;
    return { at: `${at}.${name}`.slice(1), expected: 'a value', came: 'nothing' };
  }
  for (const [name, field] of Object.entries(value)) {
    // A field that was left undefined is not written to JSON either.
    if (field === undefined) continue;
    const known = shape.properties && Object.hasOwn(shape.properties, name) ? shape.properties[name] : undefined;
    const each = known ?? shape.additionalProperties;
    const misfit = each && look(field, each, `${at}.${name}`, root);
    if (misfit) return misfit;
  }
  return undefined;
}

const WORDS: Readonly<Record<string, string>> = Object.freeze({
  string: 'a text',
  number: 'a finite number',
  boolean: 'true or false',
  null: 'null',
  array: 'a list',
  object: 'an object',
});

function kindOf(value: unknown): string {
  if (value === null) return 'null';
  if (Array.isArray(value)) return 'array';
  return typeof value === 'number' && !Number.isFinite(value) ? 'a number that is not finite' : typeof value;
}

const isList = (items: Shape['items']): items is readonly Shape[] => Array.isArray(items);

/** True where a value is not even of the shape's kind, so that its misfit would say little. */
function differentKind(value: unknown, shape: Shape, root: Shape): boolean {
  const named = shape.$ref === undefined ? shape : root.definitions?.[shape.$ref.replace('#/definitions/', '')];
  return named?.type !== undefined && named.type !== kindOf(value);
}

function say(value: unknown): string {
  const kind = kindOf(value);
  if (kind === 'string' || kind === 'number' || kind === 'boolean') return JSON.stringify(value).slice(0, 60);
  return WORDS[kind] ?? kind;
}
