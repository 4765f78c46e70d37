import { COMMON_PRACTICE, type Working } from '@oddside/core';
import { describe, expect, it } from 'vitest';

describe('a working', () => {
  it('survives JSON, so that it can stand in a job file', () => {
    const working: Working = {
      formula: 'metal to melt from yield',
      expression: 'melt = casting / yield',
      inputs: [
        { name: 'casting', value: 3.63, unit: 'kg' },
        { name: 'yield', value: 0.615, unit: '1' },
      ],
      result: { name: 'melt', value: 3.63 / 0.615, unit: 'kg' },
      reference: COMMON_PRACTICE,
    };
    expect(JSON.parse(JSON.stringify(working))).toEqual(working);
  });

  it('names a shop rule for what it is, and the name cannot be changed', () => {
    expect(COMMON_PRACTICE).toEqual({ status: 'common practice', source: 'common practice, no source' });
    expect(Object.isFrozen(COMMON_PRACTICE)).toBe(true);
  });
});
