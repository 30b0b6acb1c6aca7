import type { Problem } from '../problem.ts'
import { type Random, seeded } from '../random.ts'
import type { Fitted } from './fitted.ts'
import { spreadsheetRow } from './frame.ts'
import { leftOver, orthonormal } from './orthonormal.ts'
import { isExact } from './report.ts'

/** Two runs, by their places in the fit, whose responses may have been exchanged. */
export type SwappedPair = {
  first: number
  second: number
  /** Residual sum of squares as it is over what it is with the two exchanged. */
  ratio: number
}

/** Studies simulated for a verdict; the alarm is given where fewer than {@link falseAlarms} of them reach the ratio. */
const simulated = 999
/** Share of studies without a mix-up in which one is suspected all the same. */
const falseAlarms = 0.01
/** Above this the pairs are too many to be told from chance quickly, and a mix-up hardly shows in the misfit. */
export const mostRuns = 200
/** What is no more than rounding of the misfit. */
const nothing = 1e-24

/**
 * The pair of runs whose exchange lowers the misfit of the model most, where it does so more than in 99 of 100 studies of
 * this design without a mix-up: these are simulated (seeded) with the fitted values and the scatter of this one, and
 * the best pair of each is looked for in the same way. (Scatter taken from the exchanged study would be too small where
 * nothing was exchanged: 2.4 alarms in 100, not 1.) Null where no pair stands out, under weights, and for more than 200
 * runs. For exchanged responses y + d(eᵢ − eⱼ), d = yⱼ − yᵢ, the residual sum of squares is
 * RSS + 2d(rᵢ − rⱼ) + d²(2 − hᵢᵢ − hⱼⱼ + 2hᵢⱼ): r = (I − H)y, and H is idempotent.
 */
export function swappedPair(fitted: Fitted): SwappedPair | null {
  const { frame, solution } = fitted
  if (frame.weights || solution.df === 0 || frame.rows.length > mostRuns || isExact(fitted)) return null
  const search = pairSearch(fitted)
  const response = Float64Array.from(frame.response)
  const found = search.best(response, solution.residuals, solution.residualSumOfSquares)
  if (found === null || found.ratio <= 1) return null
  const deviation = Math.sqrt(solution.residualSumOfSquares / solution.df)
  const signal = response.map((value, i) => value - (solution.residuals[i] as number))
  const random = seeded(1)
  let reached = 0
  for (let k = 0; k < simulated; k++) {
    if (search.simulated(signal, deviation, random) >= found.ratio) reached++
    if (reached + 1 > falseAlarms * (simulated + 1)) return null
  }
  return found
}

/** The verdict in a sentence, with its false-alarm rate; `nameOf` calls a run by its row in the table. */
export function swappedProblem(fitted: Fitted, nameOf: (row: number) => string): Problem | null {
  const pair = swappedPair(fitted)
  if (pair === null) return null
  const [first, second] = [pair.first, pair.second].map((place) => fitted.frame.rows[place] as number)
  const found = swappedSentence(pair, nameOf(first as number), nameOf(second as number))
  return {
    code: 'swappedPair',
    message: `${found}: check the marks on the wafers. ${swappedChance}`,
    row: spreadsheetRow(first as number),
  }
}

/** What the pair was found by, without a full stop. */
export function swappedSentence({ ratio }: SwappedPair, first: string, second: string): string {
  const fold = ratio >= 1000 ? 'more than 1000-fold' : `${Number(ratio.toPrecision(2))}-fold`
  return `Exchanging ${first} and ${second} lowers the misfit ${fold}`
}

/** How often a pair is suspected for nothing. */
export const swappedChance = 'Without a mix-up, 1 in 100 studies shows such a pair by chance.'

/** What the best pair of a design is looked for with. */
export function pairSearch(fitted: Fitted) {
  const basis = orthonormal(fitted)
  const { rows: n, p, entries } = basis
  const residuals = (y: Float64Array) => leftOver(basis, y)
  const q = (row: number, column: number) => entries[row * (p + 1) + column] as number
  const hat = new Float64Array(n * n)
  for (let i = 0; i < n; i++)
    for (let j = 0; j <= i; j++) {
      let sum = 0
      for (let k = 0; k < p; k++) sum += q(i, k) * q(j, k)
      hat[i * n + j] = sum
      hat[j * n + i] = sum
    }
  const h = (i: number, j: number) => hat[i * n + j] as number

  function best(y: Float64Array, r: Float64Array, misfit: number): SwappedPair | null {
    let least = misfit
    let pair: [number, number] | null = null
    for (let i = 0; i < n; i++)
      for (let j = 0; j < i; j++) {
        const d = (y[j] as number) - (y[i] as number)
        const after =
          misfit +
          2 * d * ((r[i] as number) - (r[j] as number)) +
          d * d * (2 - h(i, i) - h(j, j) + 2 * h(i, j))
        if (after < least) {
          least = after
          pair = [j, i]
        }
      }
    return pair && { first: pair[0], second: pair[1], ratio: misfit / Math.max(least, nothing * misfit) }
  }

  /** The ratio of the best pair of one study without a mix-up. */
  function simulatedRatio(signal: Float64Array, deviation: number, random: Random): number {
    const noise = signal.map(() => deviation * random.normal())
    const left = residuals(noise)
    const y = signal.map((value, i) => value + (noise[i] as number))
    return best(y, left, squares(left))?.ratio ?? 1
  }

  return { residuals, best, simulated: simulatedRatio }
}

const squares = (values: Float64Array) => values.reduce((sum, value) => sum + value * value, 0)
