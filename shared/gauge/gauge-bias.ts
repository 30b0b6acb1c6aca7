import type { GaugeBias } from '../contract/results/gauge.ts'
import { meanOf, squaresAbout } from '../means.ts'
import { tQuantile, tTwoSided } from '../model/distributions.ts'
import { type Answer, good, refuse } from '../problem.ts'
import { grouped } from './grouped.ts'
import { slopeOf } from './slope.ts'

type WaferReading = { wafer: string; value: number }

/**
 * How a second gauge reads against a first, from wafers that both have read: paired differences of the means with their
 * t interval, and how the difference goes with the mean of both (not with one gauge, whose own scatter would bend the
 * slope: Bland & Altman, Lancet 327, 1986). Wafers are paired by name, whatever its case.
 *
 * @returns a problem where fewer than two wafers were read by both
 */
export function gaugeBias(
  first: readonly WaferReading[],
  second: readonly WaferReading[],
  level = 0.95,
): Answer<GaugeBias> {
  const others = meansByWafer(second)
  const pairs = [...meansByWafer(first)].flatMap(([key, { wafer, mean }]) => {
    const other = others.get(key)
    return other ? [{ wafer, first: mean, second: other.mean }] : []
  })
  const df = pairs.length - 1
  if (df < 1)
    return refuse(
      'tooFewPairs',
      `${pairs.length === 0 ? 'No wafer' : 'Only one wafer'} was read by both gauges. It takes two or more, of the same names in both studies.`,
    )
  const differences = pairs.map((pair) => pair.second - pair.first)
  const difference = meanOf(differences)
  const standardDeviation = Math.sqrt(squaresAbout(difference, differences) / df)
  const standardError = standardDeviation / Math.sqrt(pairs.length)
  const half = tQuantile(0.5 + level / 2, df) * standardError
  return good({
    pairs,
    difference,
    standardDeviation,
    df,
    interval: [difference - half, difference + half],
    p: standardError > 0 ? tTwoSided(difference / standardError, df) : Number(difference === 0),
    slope: slopeOf(
      pairs.map((pair) => (pair.first + pair.second) / 2),
      differences,
      level,
    ),
  })
}

function meansByWafer(readings: readonly WaferReading[]): Map<string, { wafer: string; mean: number }> {
  const groups = grouped(readings, ({ wafer }) => wafer.trim().toLowerCase())
  return new Map(
    [...groups].map(([key, own]) => [
      key,
      { wafer: own[0]?.wafer ?? key, mean: meanOf(own.map(({ value }) => value)) },
    ]),
  )
}
