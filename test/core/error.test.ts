import { OddsideError, isOddsideError } from '@oddside/core';
import { describe, expect, it } from 'vitest';

describe('OddsideError', () => {
  it('carries code, message, details and cause', () => {
    const cause = new RangeError('deep');
    const error = new OddsideError('bad-file', 'A file was expected.', { offset: 84 }, { cause });
    expect(error).toBeInstanceOf(Error);
    expect(error.name).toBe('OddsideError');
    expect(error.code).toBe('bad-file');
    expect(error.message).toBe('A file was expected.');
    expect(error.details).toEqual({ offset: 84 });
    expect(error.cause).toBe(cause);
    expect(String(error)).toBe('OddsideError: A file was expected.');
  });

  it('has empty details and no cause when none are given', () => {
    const error = new OddsideError('empty-file', 'Nothing came.');
    expect(error.details).toEqual({});
    expect('cause' in error).toBe(false);
  });

  it('shows no brand where an error is printed or copied', () => {
    const error = new OddsideError('empty-file', 'Nothing came.');
    expect(Object.keys(error).sort()).toEqual(['code', 'details', 'name']);
    expect(JSON.parse(JSON.stringify(error))).toEqual({ name: 'OddsideError', code: 'empty-file', details: {} });
  });
});

describe('isOddsideError', () => {
  it('knows an error of this copy and of another copy of the package', () => {
    const foreign = Object.assign(new Error('from elsewhere'), { [Symbol.for('oddside.error')]: true });
    expect(isOddsideError(new OddsideError('bad-number', 'x'))).toBe(true);
    expect(isOddsideError(foreign)).toBe(true);
  });

  it.each([new Error('x'), null, undefined, 'OddsideError', { name: 'OddsideError', code: 'bad-number' }, () => 0])(
    'is false for %s',
    (value) => expect(isOddsideError(value)).toBe(false),
  );
});
