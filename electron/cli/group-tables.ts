import type { Fit } from '../../shared/contract/results/fit.ts'
import { type Cell, digits, numeric, printTable, probability } from './print.ts'

/** Of a fit with groups: its variances, and what stated ones do to the intervals. */
export function variancesInWords(report: Fit): string[] {
  return [...varianceComponents(report), ...statedEffect(report)]
}

function varianceComponents({ varianceComponents: components }: Fit): string[] {
  if (components.length === 0) return []
  const columns = ['group', numeric('variance'), numeric('standard deviation'), numeric('df'), 'from']
  return [
    printTable(
      columns,
      components.map(({ group, variance, standardDeviation, df, source, stated }): Cell[] => [
        group,
        digits(variance, 5),
        digits(standardDeviation, 5),
        df === undefined ? '' : digits(df, 4),
        stated === undefined ? 'these runs' : sourceInWords(source, stated),
      ]),
    ),
  ]
}

function sourceInWords(
  source: Fit['varianceComponents'][number]['source'],
  { standardDeviation, df }: { standardDeviation: number; df: number | null },
): string {
  const from = source === 'earlierStudies' ? 'earlier studies' : 'stated'
  const worth = df === null ? ', taken as it is' : ` with ${digits(df, 4)} df, and these runs`
  return `${from}: ${digits(standardDeviation, 5)}${worth}`
}

function statedEffect({ statedEffect: effects }: Fit): string[] {
  if (effects === undefined) return []
  const table = printTable(
    ['term', numeric('±, with what is stated'), numeric('±, by these runs alone')],
    effects.map(({ term, halfWidth, halfWidthWithout }): Cell[] => [
      term,
      digits(halfWidth, 4),
      halfWidthWithout === null ? 'none' : digits(halfWidthWithout, 4),
    ]),
  )
  return [`What the stated variances do to the intervals:\n${table}`]
}

/** Lack of fit by stratum, where the fit has groups. */
export function lackOfFitByStratum({ lackOfFitByStratum: strata }: Fit): string[] {
  if (strata === undefined) return []
  const table = printTable(
    [
      'stratum',
      numeric('lack of fit, df'),
      numeric('pure error, df'),
      numeric('F'),
      numeric('df of its error'),
      numeric('p'),
    ],
    strata.map(({ stratum, df, pureErrorDf, f, p, denominatorDf }): Cell[] => [
      stratum,
      digits(df, 4),
      digits(pureErrorDf, 4),
      f === null ? '' : digits(f, 4),
      denominatorDf === null ? '' : digits(denominatorDf, 4),
      p === null ? '' : probability(p),
    ]),
  )
  return [`Lack of fit against groups, and runs inside them, at equal settings:\n${table}`]
}
