/**
 * The arrays in which a sloped joint is improved round after round, and what does the rounds: WebAssembly where the platform
 * has it, the plain functions elsewhere, the same to the last bit.
 */
import { improveJoint, type RoundSteps } from './improve-sloped-joint.js';
import { compileKernel, MemoryPlan, openKernel } from './open-kernel.js';
import type { SlopedGrid, SlopedState } from './sloped-grid.js';
import { SLOPED_KERNEL_BYTES } from './sloped-kernel-bytes.js';

const KERNEL: WebAssembly.Module | null = /* @__PURE__ */ compileKernel(SLOPED_KERNEL_BYTES);

/** A joint being improved. */
export interface SlopedRounds {
  readonly state: SlopedState;
  /** Where the run began. */
  readonly origin: SlopedState;
  /** Does one round. */
  improve(steps: RoundSteps): void;
}

interface KernelExports {
  improve(
    width: number,
    height: number,
    stride: number,
    low: number,
    high: number,
    lowest: number,
    highest: number,
    most: number,
    surface: number,
    prices: number,
    size: number,
    start: number,
    starts: number,
    ahead: number,
    step: number,
    rate: number,
    keep: number,
    beyond: number,
  ): void;
}

/** Makes ready to improve a joint from a state, which stays as it is. */
export function startRounds(grid: SlopedGrid, from: SlopedState, kernel = true): SlopedRounds {
  return (kernel ? kernelRounds(grid, from) : null) ?? plainRounds(grid, from);
}

function plainRounds(grid: SlopedGrid, from: SlopedState): SlopedRounds {
  const state = copyOf(from);
  const origin = copyOf(from);
  const ahead = new Float64Array(grid.low.length);
  return { state, origin, improve: (steps) => improveJoint(grid, state, origin, ahead, steps) };
}

function copyOf({ surface, prices: [east, south, southEast, southWest] }: SlopedState): SlopedState {
  return { surface: surface.slice(), prices: [east.slice(), south.slice(), southEast.slice(), southWest.slice()] };
}

function kernelRounds(grid: SlopedGrid, from: SlopedState): SlopedRounds | null {
  const { width, height, stride, most, lowest, highest } = grid;
  const plan = new MemoryPlan();
  const length = grid.low.length;
  const row = (): number => plan.room(8 * length);
  const low = row();
  const high = row();
  const ahead = row();
  const surface = row();
  const prices = row();
  const size = row() - prices;
  row();
  row();
  const start = row();
  const starts = row();
  row();
  row();
  row();
  // The last pair of the last row may be read past its end.
  const opened = openKernel<KernelExports>(KERNEL, plan.bytes + 16);
  if (!opened) return null;
  const { memory, run } = opened;
  const view = (at: number): Float64Array => new Float64Array(memory.buffer, at, length);
  const four = (at: number): SlopedState['prices'] => [
    view(at),
    view(at + size),
    view(at + 2 * size),
    view(at + 3 * size),
  ];
  view(low).set(grid.low);
  view(high).set(grid.high);
  const state: SlopedState = { surface: view(surface), prices: four(prices) };
  const origin: SlopedState = { surface: view(start), prices: four(starts) };
  for (const copy of [state, origin]) {
    copy.surface.set(from.surface);
    copy.prices.forEach((price, s) => price.set(from.prices[s]));
  }
  const improve = ({ step, rate, keep, beyond }: RoundSteps): void =>
    run.improve(
      width,
      height,
      stride,
      low,
      high,
      lowest,
      highest,
      most,
      surface,
      prices,
      size,
      start,
      starts,
      ahead,
      step,
      rate,
      keep,
      beyond,
    );
  return { state, origin, improve };
}
