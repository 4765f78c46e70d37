// @ts-check
import { CompensatedSum } from '@oddside/core';
import { loadShapes } from '../harness.mjs';

/** @type {import('../harness.mjs').Case[]} */
export const cases = [
  {
    // What exactness costs: a loss is expected and bounded, so the case asks for a share of the plain loop's speed.
    name: 'compensated sum of a million terms',
    peer: 'a plain loop',
    prepare: async () => {
      const random = (await loadShapes()).seededRandom(1);
      return Float64Array.from({ length: 1_000_000 }, () => random() - 0.5);
    },
    ours: (/** @type {Float64Array} */ terms) => {
      const sum = new CompensatedSum();
      for (let i = 0; i < terms.length; i++) sum.add(terms[i]);
      return sum.value;
    },
    theirs: (/** @type {Float64Array} */ terms) => {
      let sum = 0;
      for (let i = 0; i < terms.length; i++) sum += terms[i];
      return sum;
    },
    same: (ours, theirs) => Math.abs(ours - theirs) < 1e-8 || `${ours} and ${theirs} differ by more than 1e-8`,
    atLeast: 0.1,
  },
];
