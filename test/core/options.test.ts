import { checkChoice, checkNumber, isOddsideError, resolveOptions, type OddsideError } from '@oddside/core';
import { describe, expect, it } from 'vitest';

function caught(run: () => unknown): OddsideError {
  try {
    run();
  } catch (error) {
    if (isOddsideError(error)) return error;
    throw error;
  }
  return expect.fail('nothing was thrown');
}

describe('resolveOptions', () => {
  interface Options {
    readonly columns: number;
    readonly label: string | undefined;
    readonly flat: boolean;
  }
  const defaults: Options = Object.freeze({ columns: 256, label: undefined, flat: true });

  it('fills in what was not given', () => {
    expect(resolveOptions('measure', defaults, { columns: 64 })).toEqual({ columns: 64, label: undefined, flat: true });
    expect(resolveOptions('measure', defaults, { label: 'cleat', flat: false })).toEqual({
      columns: 256,
      label: 'cleat',
      flat: false,
    });
  });

  it('takes nothing at all, and undefined as the default', () => {
    expect(resolveOptions('measure', defaults, undefined)).toEqual(defaults);
    expect(resolveOptions('measure', defaults, null as unknown as undefined)).toEqual(defaults);
    expect(resolveOptions('measure', defaults, { columns: undefined })).toEqual(defaults);
  });

  it('gives a new object and changes neither side', () => {
    const given = Object.freeze({ columns: 1 });
    const first = resolveOptions('measure', defaults, given);
    expect(first).not.toBe(defaults);
    expect(first).not.toBe(given);
    expect(defaults.columns).toBe(256);
  });

  it('refuses an unknown key, names the nearest and lists all', () => {
    const error = caught(() => resolveOptions('measure', defaults, { column: 64 } as Partial<Options>));
    expect(error.code).toBe('bad-option');
    expect(error.message).toBe(
      'measure knows no option "column". Did you mean "columns"? It takes: columns, label, flat.',
    );
    expect(error.details).toEqual({ caller: 'measure', option: 'column', known: ['columns', 'label', 'flat'] });
  });

  it('refuses an unknown key even when its value is undefined, and inherited names', () => {
    expect(caught(() => resolveOptions('measure', defaults, { colums: undefined } as Partial<Options>)).code).toBe(
      'bad-option',
    );
    expect(caught(() => resolveOptions('measure', defaults, { toString: 1 } as unknown as Partial<Options>)).code).toBe(
      'bad-option',
    );
  });

  it('says so when the function takes no options', () => {
    expect(caught(() => resolveOptions('empty', {}, { x: 1 } as object)).message).toBe(
      'empty knows no option "x". It takes: none.',
    );
  });

  it.each([42, 'columns', true])('refuses %s in place of an object', (given) => {
    const error = caught(() => resolveOptions('measure', defaults, given as unknown as Partial<Options>));
    expect(error.code).toBe('bad-option');
    expect(error.message).toBe(`measure expects an options object, but ${typeof given} came.`);
  });
});

describe('checkNumber', () => {
  it('returns a good number, the limits themselves included', () => {
    expect(checkNumber('share (0–1)', 0, { min: 0, max: 1 })).toBe(0);
    expect(checkNumber('share (0–1)', 1, { min: 0, max: 1 })).toBe(1);
    expect(checkNumber('columns', 3, { whole: true })).toBe(3);
    expect(checkNumber('anything', -1e300)).toBe(-1e300);
    expect(checkNumber('height (mm)', 1e-300, { min: 0, above: true })).toBe(1e-300);
  });

  it.each([
    [Number.NaN, {}, 'a finite number, but NaN came'],
    [Infinity, {}, 'a finite number, but Infinity came'],
    ['3', {}, 'a finite number, but the text "3" came'],
    [null, {}, 'a finite number, but null came'],
    [undefined, {}, 'a finite number, but undefined came'],
    [[1], {}, 'a finite number, but an array came'],
    [{}, {}, 'a finite number, but object came'],
    [-1, { min: 0 }, 'a finite number of at least 0, but -1 came'],
    [0, { min: 0, above: true }, 'a finite number above 0, but 0 came'],
    [2, { max: 1 }, 'a finite number at most 1, but 2 came'],
    [2, { min: 0, max: 1 }, 'a finite number of at least 0 and at most 1, but 2 came'],
    [2.5, { whole: true, min: 1 }, 'a whole number of at least 1, but 2.5 came'],
  ])('refuses %s under %o', (value, limits, words) => {
    const error = caught(() => checkNumber('yield (0–1)', value, limits));
    expect(error.code).toBe('bad-number');
    expect(error.message).toBe(`yield (0–1) must be ${words}.`);
    expect(error.details).toMatchObject({ what: 'yield (0–1)', given: value });
  });

  it('does not repeat a long text in full', () => {
    expect(caught(() => checkNumber('x', 'z'.repeat(5000))).message.length).toBeLessThan(120);
  });
});

describe('checkChoice', () => {
  it('returns one of the choices, and names them all for anything else', () => {
    expect(checkChoice('gate', 'top', ['top', 'parting', 'bottom'])).toBe('top');
    expect(checkChoice('ends', 2, [1, 2])).toBe(2);
    const refused = (value: unknown): string => {
      try {
        checkChoice('sizeGating: gate', value, ['top', 'parting', 'bottom'], 'unknown-name');
      } catch (error) {
        expect(isOddsideError(error) && error.code).toBe('unknown-name');
        return (error as Error).message;
      }
      return '';
    };
    expect(refused('side')).toBe('sizeGating: gate must be top, parting or bottom, but "side" came.');
    for (const value of ['Top', 'toString', '', undefined, null, ['top'], 1]) expect(refused(value)).not.toBe('');
    expect(refused('x'.repeat(1000)).length).toBeLessThan(120);
    expect(() => checkChoice('ends', '2', [1, 2])).toThrow(/must be 1 or 2, but "2" came/);
  });
});
