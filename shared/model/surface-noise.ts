import { type Answer, good, refuse } from '../problem.ts'
import { type Frame, spreadsheetRow } from './frame.ts'
import { pureError } from './lack-of-fit.ts'

/** Variance of the noise; or from runs at equal settings; or estimated with the rest. */
export type GivenNoise = number | 'replicates' | 'estimated'

export type NoiseSource = 'stated' | 'replicates' | 'estimated'

const fewestReplicateDf = 3

/**
 * The variance of the noise in the square of the response's unit, null where it is to be estimated. Unless given, it
 * is from runs at equal settings where they leave 3 degrees of freedom.
 *
 * @param inputs the settings by input
 * @returns problems where the variance is none (`notANumber`), where repeated runs contradict a noise of 0
 * (`repeatedRuns`), or where there are no replicates to take it from (`noReplicates`)
 */
export function noiseOf(
  given: GivenNoise | undefined,
  frame: Frame,
  inputs: Float64Array[],
): Answer<{ variance: number | null; from: NoiseSource }> {
  if (typeof given === 'number') return statedNoise(given, frame, inputs)
  const { sumOfSquares, df } = pureError({ frame })
  const differ = sumOfSquares > 0
  if (given === 'replicates' && !differ)
    return refuse('noReplicates', 'No runs at equal settings differ: the noise cannot be taken from them.')
  if (given === 'replicates' || (given === undefined && df >= fewestReplicateDf && differ))
    return good({ variance: sumOfSquares / df, from: 'replicates' })
  return good({ variance: null, from: 'estimated' })
}

function statedNoise(
  variance: number,
  frame: Frame,
  inputs: Float64Array[],
): Answer<{ variance: number; from: 'stated' }> {
  if (!(Number.isFinite(variance) && variance >= 0))
    return refuse('notANumber', 'The variance of the noise must be 0 or more.', { column: 'noise' })
  const repeat = variance === 0 ? firstRepeat(inputs) : null
  if (repeat === null) return good({ variance, from: 'stated' })
  const row = spreadsheetRow(frame.rows[repeat]!)
  const message = `Row ${row} repeats the settings of a run before it: with a noise of 0 there is no surface through both.`
  return refuse('repeatedRuns', message, { row, column: 'noise' })
}

/** The first run whose inputs are those of an earlier one. */
function firstRepeat(inputs: Float64Array[]): number | null {
  const seen = new Set<string>()
  const settings = Array.from(inputs[0] ?? [], (_, i) => inputs.map((values) => values[i]).join(' '))
  for (const [i, one] of settings.entries()) {
    if (seen.has(one)) return i
    seen.add(one)
  }
  return null
}
