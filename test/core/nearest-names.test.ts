import { nearestNames } from '@oddside/core';
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';

describe('nearestNames', () => {
  const known = ['tin bronze', 'yellow brass', 'grey iron', 'gunmetal', 'zinc'];

  it('finds a name through a slip of the keys, whatever the case', () => {
    expect(nearestNames('gunmetel', known, 1)).toEqual(['gunmetal']);
    expect(nearestNames('ZINK', known, 1)).toEqual(['zinc']);
    expect(nearestNames('grayiron', known, 1)).toEqual(['grey iron']);
  });

  it('puts names that contain what was typed before nearer spellings', () => {
    expect(nearestNames('brass', ['bras', 'yellow brass', 'grass'], 3)).toEqual(['bras', 'yellow brass', 'grass']);
    expect(nearestNames('bronze', known, 1)).toEqual(['tin bronze']);
  });

  it('keeps the given order among equals and returns no more than asked or known', () => {
    expect(nearestNames('x', ['a', 'b', 'c'], 2)).toEqual(['a', 'b']);
    expect(nearestNames('x', ['a'], 3)).toEqual(['a']);
    expect(nearestNames('x', [])).toEqual([]);
    expect(nearestNames('', known)).toHaveLength(3);
  });

  it('finds the only name one edit away among names far off (seed 12)', () => {
    fc.assert(
      fc.property(
        fc.stringMatching(/^[a-z]{6,12}$/),
        fc.nat(),
        fc.constantFrom('swap', 'drop', 'add'),
        (name, at, edit) => {
          const i = at % name.length;
          const typed =
            edit === 'drop'
              ? name.slice(0, i) + name.slice(i + 1)
              : `${name.slice(0, i)}0${name.slice(edit === 'swap' ? i + 1 : i)}`;
          expect(nearestNames(typed, ['1234567890123', name, '999'], 1)).toEqual([name]);
        },
      ),
      { seed: 12 },
    );
  });

  it('looks only at the first 64 characters of what was typed', () => {
    expect(nearestNames(`${'x'.repeat(60)}zinc`, ['y', 'zinc'], 1)).toEqual(['zinc']);
    expect(nearestNames(`${'x'.repeat(64)}zinc`, ['y', 'zinc'], 1)).toEqual(['y']);
  });
});
