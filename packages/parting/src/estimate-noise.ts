/** The noise of a scan, which widens the band of its parting line, as `@oddside/pattern` measures it. */
export { estimateNoise, type SurfaceNoise } from '@oddside/pattern';
