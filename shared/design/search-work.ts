/**
 * The work that a search for a design may do, in multiplications, so that the largest plans come to an end within
 * some eight seconds of one processor; counted rather than timed, so that a seed gives one plan on every machine.
 */
export class SearchWork {
  readonly #limit: number
  #done = 0

  constructor(limit: number) {
    this.#limit = limit
  }

  add(multiplications: number): void {
    this.#done += multiplications
  }

  /** Whether another start may begin: while half of the work is left for it and for finishing the best. */
  get mayStart(): boolean {
    return this.#done < this.#limit / 2
  }

  /** Whether the starts, which leave a quarter of the work for finishing, must stop. */
  get startsOver(): boolean {
    return this.#done >= 0.75 * this.#limit
  }

  get over(): boolean {
    return this.#done >= this.#limit
  }
}
