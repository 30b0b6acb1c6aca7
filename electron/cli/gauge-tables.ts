import { plainNumber } from '../../shared/charts/format.ts'
import type { CheckLogResult, GaugeBias, GaugeResult } from '../../shared/contract/results/gauge.ts'
import {
  alarmSentence,
  biasWords,
  checkWords,
  partWords,
  type ShowLength,
  studyWords,
} from '../../shared/gauge/gauge-words.ts'
import { type Cell, digits, honest, numeric, percent, printTable } from './print.ts'

/** Lengths in the unit of the readings: to the digits of their uncertainty, otherwise three. */
const shown =
  (unit: string): ShowLength =>
  (value, uncertainty) =>
    [uncertainty === undefined ? digits(value, 3) : honest(value, uncertainty), unit]
      .filter(Boolean)
      .join(' ')
const inUnit = (name: string, unit: string) => numeric(unit === '' ? name : `${name} (${unit})`)

/** A gauge study: sentences, then each part with its interval. */
export function studyText(result: GaugeResult, name: string, unit: string): string {
  const tolerance = result.share?.tolerance
  const share = (deviation: number) => percent(tolerance ? (3 * deviation) / tolerance : null, 1)
  const methods = { chiSquare: 'χ²', modifiedLargeSample: 'modified large sample' }
  const table = printTable(
    [
      'part',
      inUnit('sd', unit),
      numeric('df'),
      numeric('from'),
      numeric('to'),
      'interval',
      numeric('of tolerance'),
    ],
    result.parts.map((part): Cell[] => [
      partWords[part.name],
      digits(part.standardDeviation, 3),
      part.df === null ? null : digits(part.df, 3),
      digits(part.interval[0], 3),
      digits(part.interval[1], 3),
      methods[part.method] + (part.negative ? ', estimate below zero' : ''),
      part.name === 'wafers' ? null : share(part.standardDeviation),
    ]),
  )
  const squares = printTable(
    ['source', numeric('df'), numeric('mean square')],
    result.meanSquares.map(({ source, df, meanSquare }): Cell[] => [
      source === 'waferOperator' ? 'wafers by operators' : source,
      plainNumber(Number(df.toFixed(1))),
      digits(meanSquare, 5),
    ]),
  )
  const head = `${name === '' ? '' : `${name}: `}${result.n} readings, ${result.wafers} wafers, ${result.loadings} loadings`
  return [head, studyWords(result, shown(unit)).join('\n'), table, squares].join('\n\n')
}

/** Two gauges on the same wafers. */
export function biasText(bias: GaugeBias, names: { first: string; second: string }, unit: string): string {
  const table = printTable(
    ['wafer', inUnit(names.first, unit), inUnit(names.second, unit), inUnit('difference', unit)],
    bias.pairs.map(({ wafer, first, second }): Cell[] => [
      wafer,
      honest(first, bias.standardDeviation),
      honest(second, bias.standardDeviation),
      honest(second - first, bias.standardDeviation),
    ]),
  )
  return [biasWords(bias, names, shown(unit)).join('\n'), table].join('\n\n')
}

/** The log of a check standard: sentences, what it comes to, and each day. */
export function checkText(log: CheckLogResult, unit: string): string {
  const figures = printTable(
    ['', inUnit('value', unit), numeric('df'), inUnit('from', unit), inUnit('to', unit)],
    [['within days', log.shortTerm] as const, ['day to day', log.longTerm] as const].flatMap(
      ([name, one]): Cell[][] =>
        one
          ? [
              [
                name,
                digits(one.value, 3),
                digits(one.df, 3),
                digits(one.interval[0], 3),
                digits(one.interval[1], 3),
              ],
            ]
          : [],
    ),
  )
  const days = printTable(
    ['day', numeric('readings'), inUnit('mean', unit), inUnit('sd', unit), numeric('z'), 'alarm'],
    log.days.map(({ day, n, mean, standardDeviation, z, alarms }): Cell[] => [
      day,
      String(n),
      honest(mean, log.longTerm?.value),
      standardDeviation === null ? null : digits(standardDeviation, 3),
      z === null ? null : z.toFixed(2),
      alarmSentence(alarms),
    ]),
  )
  const limits = log.limits
    ? [
        `Limits ${honest(log.limits.low, log.longTerm?.value)} to ${honest(log.limits.high, log.longTerm?.value)}, from the first ${log.limits.days} days.`,
      ]
    : []
  const calibration = log.calibration
    ? [
        `Standard uncertainty of the calibration, with the bias left in: ${percent(log.calibration.value, 3)} of the thickness.`,
      ]
    : []
  return [[...checkWords(log, shown(unit)), ...limits, ...calibration].join('\n'), figures, days].join('\n\n')
}
