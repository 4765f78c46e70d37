/** Lists of numbers that grow. */

/** The same numbers with room for as many again. */
export function longer<Numbers extends Int32Array | Uint32Array | Float64Array>(numbers: Numbers): Numbers {
  const made = new (numbers.constructor as new (length: number) => Numbers)(2 * numbers.length);
  made.set(numbers);
  return made;
}
