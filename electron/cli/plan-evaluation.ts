import type { DesignEvaluation, Plan } from '../../shared/contract/results/plan.ts'
import { reachInWords } from '../../shared/design/plan-words.ts'
import { type Cell, digits, numeric, percent, printTable } from './print.ts'

/** What a plan can tell, in sentences and tables. */
export function evaluationInWords({ evaluation, runs }: Plan, sigma: number | null): string {
  const { terms, residualDf, pureErrorDf, dEfficiency, blockEfficiency } = evaluation
  const power = evaluation.smallestDetectable[0]?.power
  const lines = [
    `${runs.length} runs, ${terms.length} terms; ${residualDf} degrees of freedom are left, ${pureErrorDf} of them from repeats.`,
    ...strataInWords(evaluation),
    ...(dEfficiency === null ? [] : [`D-efficiency ${digits(dEfficiency, 4)} %`]),
    ...(blockEfficiency === null
      ? []
      : [`Blocks leave ${digits(blockEfficiency, 4)} % of the information on the effects.`]),
    ...variancesInWords(evaluation),
    ...reachInWords(evaluation, sigma),
  ]
  return [
    lines.join('\n'),
    ...(power === undefined
      ? []
      : [
          `Smallest coefficient found with a chance of ${percent(power)} at a level of 0.05:\n${effectTable(evaluation, sigma)}`,
        ]),
    ...differencesInWords(evaluation, sigma),
    ...correlationsInWords(evaluation),
    ...aliasesInWords(evaluation),
  ].join('\n\n')
}

function strataInWords({ strata }: DesignEvaluation): string[] {
  if (strata.length < 2) return []
  return strata.map(
    ({ stratum, df, pureErrorDf }) =>
      `  ${stratum === 'run' ? 'between runs of a plate visit' : 'between plate visits'}: ${df}, ` +
      `${pureErrorDf} of them from repeats.`,
  )
}

function variancesInWords(evaluation: DesignEvaluation): string[] {
  const { averagePredictionVariance: average, maximumPredictionVariance: maximum } = evaluation
  if (average === null) return []
  const at = (share: number) =>
    evaluation.predictionVarianceShares.find((one) => Math.abs(one.share - share) < 1e-9)?.variance ?? null
  return [
    `Prediction variance of the mean over the region: ${digits(average, 3)} σ² on ` +
      `average, ${digits(maximum, 3)} σ² at most;`,
    `  half of the region lies below ${digits(at(0.5), 3)} σ², nine tenths below ${digits(at(0.9), 3)} σ².`,
  ]
}

const judgedAgainst = (stratum: 'run' | 'plateVisit') =>
  stratum === 'run' ? 'scatter of runs' : 'scatter of plate visits'

function effectTable({ smallestDetectable }: DesignEvaluation, sigma: number | null): string {
  return printTable(
    ['term', ...sizeHeadings('smallest effect', sigma), numeric('df'), 'judged against'],
    smallestDetectable.map(({ term, effect, df, stratum }): Cell[] => [
      term,
      ...sizes(effect, sigma),
      df === null ? null : digits(df, 3),
      judgedAgainst(stratum),
    ]),
  )
}

function differencesInWords({ smallestDifferences }: DesignEvaluation, sigma: number | null): string[] {
  if (smallestDifferences.length === 0) return []
  const table = printTable(
    ['term', ...sizeHeadings('smallest difference', sigma), 'df', 'judged against'],
    smallestDifferences.map(({ term, df, errorDf, effect, stratum }): Cell[] => [
      term,
      ...sizes(effect, sigma),
      `${df}, ${errorDf === null ? '–' : digits(errorDf, 3)}`,
      judgedAgainst(stratum),
    ]),
  )
  return [
    'Smallest difference between two levels that a joint F test finds with the same chance (of slopes where a\n' +
      `number is in the term, of differences where two factors are):\n${table}`,
  ]
}

function sizeHeadings(words: string, sigma: number | null) {
  return [numeric(`${words} (σ)`), ...(sigma === null ? [] : [numeric(`${words} (%)`)])]
}

function sizes(effect: number | null, sigma: number | null): Cell[] {
  if (effect === null) return sigma === null ? [null] : [null, null]
  return [digits(effect, 3), ...(sigma === null ? [] : [digits(100 * effect * sigma, 3)])]
}

/** How many pairs are named; the rest stand in the JSON. */
const mostNamed = 6

function correlationsInWords({ correlations }: DesignEvaluation): string[] {
  const { strongest } = correlations
  if (strongest.length === 0) return []
  const pairs = strongest
    .slice(0, mostNamed)
    .map((pair) => `  ${pair.term} and ${pair.with}: ${digits(pair.correlation, 2)}`)
  const more = strongest.length > mostNamed ? [`  and ${strongest.length - mostNamed} more`] : []
  return [['Estimates that hang together (correlation of 0.3 and more):', ...pairs, ...more].join('\n')]
}

function aliasesInWords({ aliases }: DesignEvaluation): string[] {
  const lines = aliases
    .filter((alias) => alias.with.length > 0)
    .map(
      (alias) =>
        `${alias.term} cannot be told from ${alias.with
          .map((other) => `${digits(other.coefficient, 3)} × ${other.term}`)
          .join(', ')}.`,
    )
  return lines.length === 0 ? [] : [lines.join('\n')]
}
