import type { Plan } from '../../shared/contract/results.ts'
import { makePlan } from '../../shared/design/make-plan.ts'
import { good } from '../../shared/problem.ts'
import { usualBench } from './bench.ts'
import { factorGrammar, factorsOf } from './factor-option.ts'
import { taker } from './options.ts'
import { type Cell, digits, numeric, percent, printTable } from './print.ts'
import { runTableCsv } from './run-table.ts'
import type { Verb } from './verb.ts'
import { writeTo } from './write-file.ts'

/** `evenfilm plan`: a design with its run order, what it can tell and what it costs. */
export const plan: Verb = {
  name: 'plan',
  summary: 'makes a design: the runs in order, what they can tell, what they cost',
  operands: [],
  options: {
    factor: { value: '…', help: 'a factor and its range or levels', repeat: true, required: true },
    design: { value: 'full', help: 'every combination of the levels (full)' },
    model: { value: 'FORMULA', help: 'the model to judge it by, in coded factors' },
    replicates: { value: 'N', help: 'how often the whole grid is run (1)' },
    centre: { value: 'N', help: 'centre points: first, last and evenly between (0)' },
    blocks: { value: 'N', help: 'blocks, such as days (1)' },
    sigma: { value: 'SHARE', help: 'scatter of a run, such as 0.5%, to show effects in percent' },
    power: { value: 'P', help: 'chance to find the smallest effect shown (0.8)' },
    seed: { value: 'N', help: 'starts the random order; the same seed gives the same plan (1)' },
    csv: { value: 'FILE', help: 'writes the run table' },
  },
  more: factorGrammar,
  async run(given) {
    const { problems, take, number, share, word } = taker(given)
    const factors = take(factorsOf(given.texts('factor'), { fixed: false })) ?? []
    const design = {
      kind: word('design', ['full'], 'full'),
      replicates: number('replicates', { whole: true, atLeast: 1, atMost: 100 }, 1),
      centre: number('centre', { whole: true, atLeast: 0, atMost: 100 }, 0),
      blocks: number('blocks', { whole: true, atLeast: 1, atMost: 100 }, 1),
      seed: number('seed', { whole: true, atLeast: 0, atMost: 2 ** 31 - 1 }, 1),
      sigma: share('sigma', null),
      power: number('power', { above: 0, below: 1 }, 0.8),
    }
    if (problems.length > 0) return { ok: false, problems }
    const model = given.text('model')
    const made = makePlan({ factors, design, bench: usualBench(), ...(model === null ? {} : { model }) })
    if (!made.ok) return made
    const file = given.text('csv')
    if (file !== null) {
      const written = writeTo(file, runTableCsv(made.value))
      if (!written.ok) return written
    }
    return good({
      exit: 0,
      json: shapeOf(made.value),
      text: words(made.value, design.sigma),
      notes: file === null ? [] : [`${made.value.runs.length} runs written to ${file}.`],
    })
  },
}

/** The plan as `--json` prints it: what is only for the page is left out. */
function shapeOf({ seed, factors, runs, evaluation, budget }: Plan) {
  const { residualDf, pureErrorDf, ...judged } = evaluation
  const { plateMinutes, ...cost } = budget
  return { seed, factors, runs, evaluation: judged, budget: cost }
}

function words(made: Plan, sigma: number | null): string {
  return [
    runTable(made),
    made.orderInWords,
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
