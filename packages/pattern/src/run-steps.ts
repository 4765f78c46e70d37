/** Work in small pieces, as all packages run it. */
export { drainSteps, paceSteps, type Steps } from '@oddside/core';
