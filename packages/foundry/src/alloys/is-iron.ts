/** Which alloys expand on freezing and so feed themselves. */
import type { Alloy } from './alloy.js';

/** Grey or ductile iron. */
export const isIron = ({ family }: Alloy): boolean => family === 'grey iron' || family === 'ductile iron';
