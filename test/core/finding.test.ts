import { gravestFirst, type Finding } from '@oddside/core';
import { describe, expect, it } from 'vitest';

const finding = (code: string, severity: Finding['severity']): Finding => ({ code, severity, message: code });

describe('gravestFirst', () => {
  const given = Object.freeze([
    finding('a', 'note'),
    finding('b', 'problem'),
    finding('c', 'warning'),
    finding('d', 'problem'),
    finding('e', 'note'),
  ]);

  it('puts problems before warnings before notes and keeps the order among equals', () => {
    expect(gravestFirst(given).map((each) => each.code)).toEqual(['b', 'd', 'c', 'a', 'e']);
  });

  it('does not change its input', () => {
    gravestFirst(given);
    expect(given.map((each) => each.code)).toEqual(['a', 'b', 'c', 'd', 'e']);
  });

  it('takes an empty list', () => expect(gravestFirst([])).toEqual([]));
});
