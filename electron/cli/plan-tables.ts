import type { Plan } from '../../shared/contract/results.ts'
import { type Cell, digits, numeric, percent, printTable } from './print.ts'

/** A plan in tables: the runs in order, what they can tell, what they cost. */
export function planInWords(made: Plan, sigma: number | null): string {
  return [
    runTable(made),
    [made.designInWords, made.orderInWords].filter((text) => text !== '').join('\n'),
    evaluationInWords(made, sigma),
    budgetInWords(made),
    `Seed ${made.seed}: the same seed gives the same plan.`,
  ].join('\n\n')
}

function runTable({ factors, runs }: Plan): string {
  const blocks = runs.some((run) => run.block !== 1)
  const visits = runs.some((run) => run.plateVisit !== null)
  return printTable(
    [
      numeric('run'),
      numeric('standard'),
      ...(blocks ? [numeric('block')] : []),
      ...(visits ? [numeric('plate visit')] : []),
      'kind',
      ...factors.map(({ name, unit, kind }) => {
        const heading = unit === '' ? name : `${name} (${unit})`
        return kind === 'continuous' ? numeric(heading) : heading
      }),
    ],
    runs.map((run): Cell[] => [
      String(run.runOrder),
      String(run.standardOrder),
      ...(blocks ? [String(run.block)] : []),
      ...(visits ? [run.plateVisit === null ? null : String(run.plateVisit)] : []),
      run.kind,
      ...factors.map(({ name }) => shown(run.settings[name])),
    ]),
  )
}

const shown = (setting: number | string | undefined): string =>
  typeof setting === 'number' ? String(Number(setting.toPrecision(6))) : (setting ?? '–')

function evaluationInWords({ evaluation, runs }: Plan, sigma: number | null): string {
  const { terms, residualDf, pureErrorDf } = evaluation
  const lines = [
    `${runs.length} runs, ${terms.length} terms; ${residualDf} degrees of freedom are left, ${pureErrorDf} of them from repeats.`,
  ]
  if (evaluation.dEfficiency !== null) lines.push(`D-efficiency ${digits(evaluation.dEfficiency, 4)} %`)
  if (evaluation.averagePredictionVariance !== null)
    lines.push(
      `Prediction variance of the mean over the region: ${digits(evaluation.averagePredictionVariance, 3)} σ² on ` +
        `average, ${digits(evaluation.maximumPredictionVariance, 3)} σ² at most.`,
    )
  const smallest = printTable(
    [
      'term',
      numeric('smallest effect (σ)'),
      ...(sigma === null ? [] : [numeric('smallest effect (%)')]),
      'judged against',
    ],
    evaluation.smallestDetectable.map(({ term, effect, stratum }): Cell[] => [
      term,
      effect === null ? null : digits(effect, 3),
      ...(sigma === null ? [] : [effect === null ? null : digits(100 * effect * sigma, 3)]),
      stratum === 'run' ? 'scatter of runs' : 'scatter of plate visits',
    ]),
  )
  const power = evaluation.smallestDetectable[0]?.power
  const aliases = evaluation.aliases
    .filter((alias) => alias.with.length > 0)
    .map(
      (alias) =>
        `${alias.term} cannot be told from ${alias.with
          .map((other) => `${digits(other.coefficient, 3)} × ${other.term}`)
          .join(', ')}.`,
    )
  return [
    lines.join('\n'),
    ...(power === undefined
      ? []
      : [`Smallest coefficient found with a chance of ${percent(power)} at a level of 0.05:\n${smallest}`]),
    ...(aliases.length === 0 ? [] : [aliases.join('\n')]),
  ].join('\n\n')
}

function budgetInWords({ budget }: Plan): string {
  const { substrates, resistMl, minutes, plateChanges, assumptions } = budget
  const plate = plateChanges === null ? '' : `, ${plateChanges} plate changes`
  return [
    `Cost: ${substrates} substrates, ${digits(resistMl, 3)} mL of resist, ${digits(minutes / 60, 2)} h${plate}.`,
    ...assumptions.map((assumption) => `  ${assumption}`),
  ].join('\n')
}
