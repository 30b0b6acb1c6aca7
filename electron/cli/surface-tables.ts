import type { Fit } from '../../shared/contract/results/fit.ts'
import { type Cell, digits, numeric, printTable } from './print.ts'

const kernels = { matern52: 'Matérn 5/2', squaredExponential: 'squared exponential' }
const noises = { stated: 'stated', replicates: 'from runs at equal settings', estimated: 'estimated' }

/** What a Gaussian process was fitted with: kernel, trend, noise, and a length for each input. */
export function surfaceInWords({ surface, n }: Fit): string[] {
  if (surface === undefined) return []
  const { kernel, trend, noiseFrom, lengths, leftOut } = surface
  return [
    `Gaussian process: ${kernels[kernel]}, trend ${trend}, noise ${noises[noiseFrom]}. Runs predicted from all others: ` +
      `root mean square error ${digits(leftOut.rootMeanSquareError, 3)}, ` +
      `${leftOut.outside} of ${n} outside their interval.`,
    printTable(
      ['input', numeric('length')],
      lengths.map(({ input, length }): Cell[] => [input, digits(length, 4)]),
    ),
  ]
}
