/**
 * What must be made? Sound solids, split patterns, follow boards, loose pieces, mould halves, and the proof that they draw.
 *
 * @packageDocumentation
 */
export {};
