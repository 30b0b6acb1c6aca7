import { type FilmSummary, uncertaintyPart } from '../../shared/contract/results/film.ts'
import type { NonUniformityFormula } from '../../shared/contract/things.ts'
import { type Cell, digits, honest, numeric, printTable } from './print.ts'

/** Non-uniformity as the table heads it; all in percent. */
const formulas: [NonUniformityFormula, string][] = [
  ['halfRangeOverMean', 'half-range/mean %'],
  ['halfRangeOverMidRange', 'half-range/mid %'],
  ['rangeOverMean', 'range/mean %'],
  ['halfRangeOverMaximum', 'half-range/max %'],
  ['rangeOverMaximum', 'range/max %'],
  ['standardDeviationOverMean', 'sd/mean %'],
  ['threeStandardDeviationsOverMean', '3 sd/mean %'],
  ['standardDeviationOfAllOverMean', 'sd(n)/mean %'],
]
const uncertaintyParts = uncertaintyPart.shape.name.options

/**
 * Films in tables: what they are, how sure their means are, their shapes, and what was left out.
 *
 * @param unit of the readings; empty where the file names none
 */
export function filmText(summaries: readonly FilmSummary[], unit: string): string {
  const shaped = summaries.filter((one) => one.shape.rest !== null)
  const leftOut = leftOutLines(summaries)
  return [
    filmTable(summaries, unit),
    `Standard uncertainty of the mean, by its parts (reload and calibration do not shrink with the number of sites):\n${uncertaintyTable(summaries, unit)}`,
    ...(shaped.length > 0
      ? [
          `Shape over the whole substrate (bowl: edge thick; wedge: the thick side, from +x):\n${shapeTable(shaped)}`,
        ]
      : []),
    ...(leftOut.length > 0 ? [leftOut.join('\n')] : []),
  ].join('\n\n')
}

const inUnit = (name: string, unit: string) => numeric(unit === '' ? name : `${name} (${unit})`)

function filmTable(summaries: readonly FilmSummary[], unit: string): string {
  return printTable(
    [
      'substrate',
      numeric('sites'),
      inUnit('mean', unit),
      inUnit('area mean', unit),
      inUnit('sd', unit),
      ...formulas.map(([, heading]) => numeric(heading)),
    ],
    summaries.map((one): Cell[] => [
      one.id,
      String(one.n),
      honest(one.mean, one.standardUncertainty),
      honest(one.areaWeightedMean, one.standardUncertainty),
      digits(one.standardDeviation, 3),
      ...formulas.map(([formula]) => digits(one.nonUniformity[formula], 3)),
    ]),
  )
}

function uncertaintyTable(summaries: readonly FilmSummary[], unit: string): string {
  return printTable(
    ['substrate', ...[...uncertaintyParts, 'u of the mean'].map((name) => inUnit(name, unit)), numeric('df')],
    summaries.map(({ id, uncertainty }): Cell[] => [
      id,
      ...uncertaintyParts.map((name) => {
        const part = uncertainty?.parts.find((one) => one.name === name)
        return part ? digits(part.value, 3) : null
      }),
      uncertainty ? digits(uncertainty.standard, 3) : null,
      uncertainty?.df == null ? null : uncertainty.df.toFixed(1),
    ]),
  )
}

const percentOf = (share: number | null) => (share === null ? null : digits(100 * share, 3))

function shapeTable(shaped: readonly FilmSummary[]): string {
  return printTable(
    [
      'substrate',
      numeric('bowl %'),
      numeric('ring %'),
      numeric('wedge %'),
      numeric('towards °'),
      numeric('rest %'),
    ],
    shaped.map(({ id, shape: { bowl, ring, wedge, wedgeDirection, rest } }): Cell[] => [
      id,
      percentOf(bowl),
      percentOf(ring),
      percentOf(wedge),
      wedgeDirection === null ? null : wedgeDirection.toFixed(0),
      percentOf(rest),
    ]),
  )
}

function leftOutLines(summaries: readonly FilmSummary[]): string[] {
  const excluded = summaries.flatMap((one) =>
    one.excluded.map(({ row, reason }) => `${one.id}, row ${row}: left out. ${reason}`),
  )
  const without = summaries.flatMap(({ id, n, mean, withExcluded: all }) =>
    all
      ? [
          `${id}: with all ${all.n} readings the mean is ${digits(all.mean)} and sd/mean ${digits(all.nonUniformity.standardDeviationOverMean, 3)} %; without those left out ${digits(mean)} (${n} readings).`,
        ]
      : [],
  )
  return [...excluded, ...without]
}
