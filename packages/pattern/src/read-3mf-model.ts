/** One model part of a 3MF: its objects and its build. */
import { MM_PER_UNIT, OddsideError, type LengthUnit } from '@oddside/core';
import type { Placing } from './collect-triangles.js';
import { growingDoubles, growingInts } from './grow-array.js';
import { CORE_3MF } from './names-3mf.js';
import { partName } from './read-zip.js';
import { xmlNumber, type XmlElement, type XmlHandler } from './parse-xml.js';

const PRODUCTION = 'http://schemas.microsoft.com/3dmanufacturing/production/2015/06';

/** Extensions that may be required and yet be passed over or are understood: they do not change the shape. */
const HARMLESS: readonly string[] = Object.freeze([
  CORE_3MF,
  PRODUCTION,
  'http://schemas.microsoft.com/3dmanufacturing/material/2015/02',
  'http://schemas.microsoft.com/3dmanufacturing/trianglesets/2021/07',
]);

/** A use of one object by another or by the build. */
export interface Use {
  /** Part the object is in, and its number there, as `part#id`. */
  readonly key: string;
  readonly placing: Placing | undefined;
  readonly element: string;
}

export interface Object3mf {
  readonly key: string;
  readonly name: string;
  readonly type: string;
  readonly positions: ReturnType<typeof growingDoubles>;
  readonly corners: ReturnType<typeof growingInts>;
  readonly uses: Use[];
  readonly hasMesh: boolean;
}

export interface Model3mf {
  readonly unit: LengthUnit;
  readonly objects: Object3mf[];
  readonly build: Use[];
}

const UNITS: Readonly<Record<string, LengthUnit>> = Object.freeze({
  micron: 'micron',
  millimeter: 'mm',
  centimeter: 'cm',
  inch: 'inch',
  foot: 'foot',
  meter: 'm',
});

/** Takes the elements of a model part. */
export class ModelHandler implements XmlHandler {
  unit: LengthUnit = 'mm';
  readonly objects: Object3mf[] = [];
  readonly build: Use[] = [];
  readonly #part: string;
  readonly #keys: Set<string> = new Set();
  #object: (Object3mf & { hasMesh: boolean }) | undefined;
  #sawModel = false;

  constructor(part: string) {
    this.#part = part;
  }

  get model(): Model3mf {
    if (!this.#sawModel) throw this.#fault('it has no "model" element of the 3MF core namespace');
    return { unit: this.unit, objects: this.objects, build: this.build };
  }

  open(element: XmlElement): void {
    if (element.namespace !== CORE_3MF) return;
    const { attributes } = element;
    const object = this.#object;
    switch (element.name) {
      case 'vertex':
        if (!object) return;
        object.positions.push(xmlNumber(attributes.x));
        object.positions.push(xmlNumber(attributes.y));
        object.positions.push(xmlNumber(attributes.z));
        return;
      case 'triangle':
        if (!object) return;
        object.corners.push(cornerNumber(attributes.v1));
        object.corners.push(cornerNumber(attributes.v2));
        object.corners.push(cornerNumber(attributes.v3));
        return;
      case 'mesh':
        if (object) object.hasMesh = true;
        return;
      case 'model':
        this.#openModel(element);
        return;
      case 'object':
        this.#openObject(attributes);
        return;
      case 'component':
        if (object) object.uses.push(this.#use(element));
        return;
      case 'item':
        this.build.push(this.#use(element));
        return;
    }
  }

  close(name: string, namespace: string): void {
    if (name === 'object' && namespace === CORE_3MF) this.#object = undefined;
  }

  #openModel(element: XmlElement): void {
    this.#sawModel = true;
    const unit = element.attributes.unit?.trim() ?? 'millimeter';
    if (!Object.hasOwn(UNITS, unit)) {
      throw this.#fault(
        `its unit "${unit.slice(0, 40)}" is none of ${Object.keys(UNITS).join(', ')} (${Object.keys(MM_PER_UNIT).length} units)`,
      );
    }
    this.unit = UNITS[unit];
    for (const prefix of (element.attributes.requiredextensions ?? '').split(/\s+/).filter(Boolean)) {
      const extension = element.resolve(prefix);
      if (extension !== undefined && HARMLESS.includes(extension)) continue;
      throw new OddsideError(
        'unsupported-file',
        `The 3MF needs the extension "${(extension ?? prefix).slice(0, 120)}", which cannot be read. Save it without, or as STL.`,
        { format: '3mf', extension: extension ?? prefix },
      );
    }
  }

  #openObject(attributes: Readonly<Record<string, string>>): void {
    const id = attributes.id ?? '';
    if (!/^\s*\d{1,10}\s*$/.test(id))
      throw this.#fault(`an object has the id "${id.slice(0, 40)}", which is no whole number`);
    const key = `${this.#part}#${Number(id)}`;
    if (this.#keys.has(key)) throw this.#fault(`object ${Number(id)} is there twice`);
    this.#keys.add(key);
    this.#object = {
      key,
      name: attributes.name ?? '',
      type: attributes.type ?? 'model',
      positions: growingDoubles(16),
      corners: growingInts(16),
      uses: [],
      hasMesh: false,
    };
    this.objects.push(this.#object);
  }

  #use(element: XmlElement): Use {
    const { attributes } = element;
    let part = this.#part;
    for (const key in attributes) {
      const [prefix, name] = key.split(':');
      if (name === 'path' && element.resolve(prefix) === PRODUCTION) part = partName(attributes[key]);
    }
    const what = `${element.name} of object ${attributes.objectid ?? '(none)'}`;
    if (!/^\s*\d{1,10}\s*$/.test(attributes.objectid ?? '')) throw this.#fault(`${what} names no object`);
    return {
      key: `${part}#${Number(attributes.objectid)}`,
      placing: this.#placing(attributes.transform, what),
      element: what,
    };
  }

  /** Twelve numbers, the rows of a matrix that multiplies a row vector from the right; the last three move. */
  #placing(text: string | undefined, what: string): Placing | undefined {
    if (text === undefined) return undefined;
    const m = text.slice(0, 2000).trim().split(/\s+/).map(xmlNumber);
    if (m.length !== 12 || m.some((value) => !Number.isFinite(value))) {
      throw this.#fault(`the transform of ${what} is not twelve numbers: "${text.slice(0, 80)}"`);
    }
    return Float64Array.of(m[0], m[3], m[6], m[9], m[1], m[4], m[7], m[10], m[2], m[5], m[8], m[11]);
  }

  #fault(what: string): OddsideError {
    return new OddsideError('bad-file', `Part "${this.#part}" of the 3MF cannot be read: ${what}.`, {
      format: '3mf',
      part: this.#part,
    });
  }
}

function cornerNumber(text: string | undefined): number {
  const value = xmlNumber(text);
  return Number.isInteger(value) && value >= 0 && value < 0x7fffffff ? value : -1;
}
