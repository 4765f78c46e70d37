/** XML as a stream of elements, with the tricks of XML switched off. */
import { OddsideError } from '@oddside/core';
import { SaxesParser } from 'saxes';

/** One opening tag. */
export interface XmlElement {
  /** Name without its prefix. */
  readonly name: string;
  /** Namespace the prefix stands for; empty where there is none. */
  readonly namespace: string;
  /** Attributes as written, prefixes and all. */
  readonly attributes: Readonly<Record<string, string>>;
  /** What a prefix stands for here. */
  resolve(prefix: string): string | undefined;
}

export interface XmlHandler {
  open(element: XmlElement): void;
  close(name: string, namespace: string): void;
}

const DEEPEST = 64;
const LONGEST_TAG = 1 << 20;

/**
 * Feeds pieces of UTF-8 or UTF-16 text to a handler. A document type, an unknown entity, more than 64 levels and anything
 * not well formed are errors; the parser itself never expands an entity that a file defines.
 */
export class XmlStream {
  readonly #parser: SaxesParser;
  #decoder: TextDecoder | undefined;
  #depth = 0;
  readonly #part: string;
  /** Prefixes of every open element; the same map as the parent's where it declares none. */
  readonly #scopes: Map<string, string>[] = [new Map([['', '']])];

  constructor(part: string, handler: XmlHandler) {
    this.#part = part;
    const parser = new SaxesParser({ xmlns: false, position: false });
    this.#parser = parser;
    parser.on('error', (error) => {
      throw this.#fault(error.message);
    });
    parser.on('doctype', () => {
      throw this.#fault('it has a document type (DOCTYPE), which 3MF forbids');
    });
    parser.on('opentag', (tag) => {
      if (++this.#depth > DEEPEST) throw this.#fault(`its elements are nested more than ${DEEPEST} deep`);
      handler.open(this.#element(tag.name, tag.attributes as Record<string, string>));
    });
    parser.on('closetag', (tag) => {
      const scope = this.#scopes.pop()!;
      this.#depth--;
      const [prefix, name] = split(tag.name);
      handler.close(name, scope.get(prefix) ?? '');
    });
  }

  write(piece: Uint8Array): void {
    this.#decoder ??= new TextDecoder(encodingOf(piece), { fatal: false });
    // One attribute value of the whole file would be held as one string; pieces are small, so check what is buffered.
    this.#parser.write(this.#decoder.decode(piece, { stream: true }));
  }

  finish(): void {
    this.#parser.write(this.#decoder?.decode() ?? '');
    this.#parser.close();
  }

  #element(name: string, attributes: Record<string, string>): XmlElement {
    const parent = this.#scopes.at(-1)!;
    let scope = parent;
    for (const key in attributes) {
      if (!key.startsWith('xmlns')) continue;
      if (key !== 'xmlns' && key[5] !== ':') continue;
      if (scope === parent) scope = new Map(parent);
      scope.set(key.slice(6), attributes[key].slice(0, LONGEST_TAG));
    }
    this.#scopes.push(scope);
    const [prefix, local] = split(name);
    const namespace = scope.get(prefix);
    if (namespace === undefined)
      throw this.#fault(`the prefix "${prefix}" of element "${name.slice(0, 60)}" stands for nothing`);
    return { name: local, namespace, attributes, resolve: (wanted) => scope.get(wanted) };
  }

  #fault(what: string): OddsideError {
    return new OddsideError('bad-file', `Part "${this.#part}" of the 3MF is not sound XML: ${what.slice(0, 200)}.`, {
      format: '3mf',
      part: this.#part,
    });
  }
}

function split(name: string): [prefix: string, local: string] {
  const colon = name.indexOf(':');
  return colon < 0 ? ['', name] : [name.slice(0, colon), name.slice(colon + 1)];
}

function encodingOf(piece: Uint8Array): string {
  if (piece[0] === 0xff && piece[1] === 0xfe) return 'utf-16le';
  if (piece[0] === 0xfe && piece[1] === 0xff) return 'utf-16be';
  return 'utf-8';
}

/** A decimal number as XML Schema writes it; NaN for anything else, such as "", "0x10", "1,5" or "INF". */
export function xmlNumber(text: string | undefined): number {
  if (text === undefined) return NaN;
  return /^\s*[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?\s*$/.test(text) ? Number(text) : NaN;
}
