/** Summation that does not lose the small terms. */

/**
 * Neumaier's compensated sum: the running error of every addition is kept and added at the end. A million areas add up
 * to the last bit or two instead of the fifth digit from the end. Cost: four more operations a term.
 */
export class CompensatedSum {
  #sum = 0;
  #lost = 0;

  add(term: number): void {
    const next = this.#sum + term;
    this.#lost += Math.abs(this.#sum) >= Math.abs(term) ? this.#sum - next + term : term - next + this.#sum;
    this.#sum = next;
  }

  get value(): number {
    return this.#sum + this.#lost;
  }
}
