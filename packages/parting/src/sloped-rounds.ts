/**
 * The arrays in which a sloped joint is improved round after round, and what does the rounds: WebAssembly where the platform
 * has it, the plain functions elsewhere, the same to the last bit.
 */
import { improveJoint, limitsOff, type RoundsState, type RoundSteps } from './improve-sloped-joint.js';
import { compileKernel, MemoryPlan, openKernel } from './open-kernel.js';
import { levelState, type SlopedGrid, type SlopedState } from './sloped-grid.js';
import { SLOPED_KERNEL_BYTES } from './sloped-kernel-bytes.js';

const KERNEL: WebAssembly.Module | null = /* @__PURE__ */ compileKernel(SLOPED_KERNEL_BYTES);

/** A joint being improved. */
export interface SlopedRounds {
  /** Whether WebAssembly does the rounds. */
  readonly inKernel: boolean;
  /** Does one round. */
  improve(steps: RoundSteps): void;
  /** Lets the next run begin where surface and prices are now. */
  startAgain(): void;
  /** Surface and prices as they are; the same arrays each time. */
  look(): SlopedState;
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
    straight: number,
    across: number,
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
  const opened = kernel ? kernelRounds(grid) : null;
  const { state, origin, improve } = opened ?? plainRounds(grid);
  const seen = levelState(grid, 0);
  for (const copy of [state, origin]) copyState(from, copy);
  return {
    inKernel: opened !== null,
    improve,
    startAgain: () => copyState(state, origin),
    look: () => {
      copyState(state, seen);
      return seen;
    },
  };
}

type AnyState = RoundsState | SlopedState;

function copyState(from: AnyState, to: AnyState): void {
  to.surface.set(from.surface);
  to.prices.forEach((price, s) => price.set(from.prices[s]));
}

/** Arrays for the rounds, all of them empty, and what does a round on them. */
interface RoundsRoom {
  readonly state: RoundsState;
  readonly origin: RoundsState;
  readonly improve: SlopedRounds['improve'];
}

function plainRounds(grid: SlopedGrid): RoundsRoom {
  const size = grid.low.length;
  const make = (): Float32Array => new Float32Array(size);
  const makeState = (): RoundsState => ({ surface: make(), prices: [make(), make(), make(), make()] });
  const [state, origin] = [makeState(), makeState()];
  const ahead = make();
  const narrow = { ...grid, low: Float32Array.from(grid.low), high: Float32Array.from(grid.high) };
  return { state, origin, improve: (steps) => improveJoint(narrow, state, origin, ahead, steps) };
}

function kernelRounds(grid: SlopedGrid): RoundsRoom | null {
  const { width, height, stride, most, lowest, highest } = grid;
  const plan = new MemoryPlan();
  const length = grid.low.length;
  const row = (): number => plan.room(4 * length);
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
  // The last four of the last row may be read past its end.
  const opened = openKernel<KernelExports>(KERNEL, plan.bytes + 32);
  if (!opened) return null;
  const { memory, run } = opened;
  const view = (at: number): Float32Array => new Float32Array(memory.buffer, at, length);
  const four = (at: number): RoundsState['prices'] => [
    view(at),
    view(at + size),
    view(at + 2 * size),
    view(at + 3 * size),
  ];
  view(low).set(grid.low);
  view(high).set(grid.high);
  const improve = ({ step, rate, keep, beyond }: RoundSteps): void => {
    const { straight, across } = limitsOff(most, rate);
    run.improve(
      width,
      height,
      stride,
      low,
      high,
      lowest,
      highest,
      straight,
      across,
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
  };
  return {
    state: { surface: view(surface), prices: four(prices) },
    origin: { surface: view(start), prices: four(starts) },
    improve,
  };
}
