import { readFileSync } from 'node:fs'
import { describe, expect, test } from 'vitest'
import type { KernelKind } from '../../../shared/model/kernel.ts'
import { type FittedSurface, fitSurface, type SurfaceOptions } from '../../../shared/model/surface.ts'
import type { Trend } from '../../../shared/model/surface-inputs.ts'
import type { Table } from '../../../shared/model/table.ts'
import { closeTo } from './close-to.ts'

// Expected values from surface-likelihoods.py beside this file (scikit-learn 1.2, numpy), on the same invented runs.

type Parameters = { lengths: number[]; variance: number; noise: number }
type Maximum = Runs & { name: string; kernel: KernelKind; last: number } & {
  found: Parameters & { logLikelihood: number }
}
type Runs = {
  seed: number
  runs: number
  noise: number
  scale: number
  scales: number[]
  repeated: boolean
}
type Kriging = { seed: number; runs: number; noise: number; at: [number, number][]; known: Parameters } & {
  found: {
    kernel: KernelKind
    trend: Trend
    estimates: number[]
    variances: number[]
    logLikelihood: number
  }[]
}

const { maxima, kriging } = JSON.parse(
  readFileSync(new URL('surface-likelihoods.json', import.meta.url), 'utf8'),
) as { maxima: Maximum[]; kriging: Kriging }

/** The runs of surface-likelihoods.py. */
function runsOf({ seed, runs, noise, scale, scales, repeated }: Runs): Table {
  let state = seed
  const uniform = () => {
    state = (16807 * state) % 2147483647
    return state / 2147483647
  }
  const settings: number[][] = []
  for (let i = 0; i < runs; i++) {
    const before = repeated && i % 2 === 1 ? settings[i - 1] : undefined
    settings.push(before ?? scales.map(uniform))
  }
  const y = settings.map((row) => {
    const value = row.reduce(
      (sum, x, k) => sum + Math.sin((3 + k) * x) / (1 + k) + (k > 0 ? x * (row[k - 1] as number) : 0),
      1,
    )
    let error = -6
    for (let k = 0; k < 12; k++) error += uniform()
    return scale * (value + noise * error)
  })
  const inputs = scales.map((size, k) => ({
    name: `x${k + 1}`,
    values: settings.map((row) => size * (row[k] as number)),
  }))
  return { rows: runs, columns: [...inputs, { name: 'y', values: y }] }
}

const modelOver = (factors: number) =>
  `y ~ ${Array.from({ length: factors }, (_, k) => `x${k + 1}`).join(' + ')}`

const knownOf = ({ lengths, variance, noise }: Parameters) => ({
  known: { lengths: Object.fromEntries(lengths.map((length, k) => [`x${k + 1}`, length])), variance },
  noise,
})

function surface(options: SurfaceOptions): FittedSurface {
  const answer = fitSurface(options)
  if (!answer.ok) throw new Error(answer.problems.map((problem) => problem.message).join('\n'))
  return answer.value
}

describe('against the likelihoods of scikit-learn', () => {
  test.each(maxima)('$name', ({ kernel, found, last, ...runs }) => {
    const table = runsOf(runs)
    closeTo(table.columns.at(-1)?.values.at(-1) as number, last)
    const given = { table, model: modelOver(runs.scales.length), kernel, trend: 'none' as const }
    // Without noise the covariance is all but singular: its logarithm keeps fewer digits.
    const digits = runs.noise === 0 ? 1e-6 : 1e-9
    closeTo(surface({ ...given, ...knownOf(found) }).report().logLikelihood, found.logLikelihood, digits)
    const own = surface({ ...given, noise: 'estimated' }).report().logLikelihood
    expect(own).toBeGreaterThanOrEqual(found.logLikelihood - digits * Math.abs(found.logLikelihood))
  })
})

describe('kriging about a trend by its augmented equations', () => {
  const table = runsOf({ ...kriging, scale: 1, scales: [1, 1], repeated: false })
  test.each(kriging.found)('$kernel, trend $trend', ({ kernel, trend, ...expected }) => {
    const fit = surface({ table, model: 'y ~ x1 + x2', kernel, trend, ...knownOf(kriging.known) })
    const { predictions, logLikelihood } = fit.report(kriging.at.map(([x1, x2]) => ({ x1, x2 })))
    closeTo(logLikelihood, expected.logLikelihood, 1e-11)
    predictions.forEach(({ estimate, standardErrorOfMean }, i) => {
      closeTo(estimate, expected.estimates[i] ?? Number.NaN, 1e-10)
      closeTo(standardErrorOfMean ** 2, expected.variances[i] ?? Number.NaN, 1e-9)
    })
    expect(predictions).toHaveLength(kriging.at.length)
  })
})
