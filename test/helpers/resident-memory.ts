/** Memory that a process really holds. */
import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';

/** Resident memory after the collector has been through, MB: what a kernel holds is no garbage and stays. */
export function residentMb(): number {
  setFlagsFromString('--expose-gc');
  const collect = runInNewContext('gc') as () => void;
  collect();
  collect();
  return process.memoryUsage().rss / 2 ** 20;
}
