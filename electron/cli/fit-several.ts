import type { ModelComparison } from '../../shared/contract/results/fit.ts'
import { compareModels } from '../../shared/model/compare-models.ts'
import { columnOf } from '../../shared/model/expression.ts'
import { parseFormula } from '../../shared/model/formula.ts'
import { groupWord } from '../../shared/model/nested-groups.ts'
import { columnNamed, type Table } from '../../shared/model/table.ts'
import { type Answer, good, refuse } from '../../shared/problem.ts'
import { fileOptions, type Given } from './options.ts'
import { type Cell, digits, numeric, percent, printTable, probability } from './print.ts'
import { readTable } from './table-file.ts'
import { inWords, type Outcome } from './verb.ts'

/** Options that a comparison takes; every other one belongs to one fit. */
const ofSeveral = ['model', 'leave-out', 'weights', ...Object.keys(fileOptions)]

/** Whether models are to be set side by side: several are given, or one with what is to be left out. */
export function isComparison(given: Given): boolean {
  return given.texts('model').length > 1 || given.has('leave-out')
}

/**
 * `evenfilm fit` with several models: the table for choosing one.
 *
 * @param options names of all options of the verb
 */
export function fitSeveral(given: Given, options: string[]): Answer<Outcome> {
  const models = given.texts('model')
  if (models.length === 0)
    return refuse('missingOption', '--leave-out belongs to --model.', { column: 'leave-out' })
  const other = options.find((option) => given.has(option) && !ofSeveral.includes(option))
  if (other !== undefined)
    return refuse('badOption', `--${other} belongs to one fit, and here models are compared: leave it out.`, {
      column: other,
    })
  const file = readTable(given)
  if (!file.ok) return file
  const [weightText, group] = [given.text('weights'), given.text('leave-out')]
  const weights = weightText === null ? null : file.value.column(weightText)
  if (weights && !weights.ok) return weights
  const found = compareModels({
    table: file.value.table,
    models,
    ...(weights ? { weights: weights.value.name } : {}),
    ...(group === null ? {} : { group }),
    nameOf: (row) => `row ${file.value.rows[row]}`,
  })
  if (!found.ok) return file.value.atItsRow(found)
  const problems = [...found.value.problems.map(file.value.problemAtItsRow), ...file.value.leftOut]
  return good({
    exit: 0,
    json: { ...found.value, problems },
    text: comparisonInWords(found.value, file.value.table),
    notes: [...new Set([...file.value.notes, ...problems.map(inWords)])],
  })
}

function comparisonInWords({ models, cannotTell }: ModelComparison, table: Table): string {
  const [first] = models
  const formula = parseFormula(first?.model ?? '')
  const response = formula.ok && formula.value.response ? columnOf(formula.value.response) : ''
  const unit = columnNamed(table, response)?.unit ?? ''
  const rows = printTable(
    [
      numeric('no.'),
      'model',
      numeric('terms'),
      numeric('df'),
      numeric('AICc'),
      numeric('above lowest'),
      numeric(unit === '' ? 'prediction error' : `prediction error (${unit})`),
      numeric('of the reading'),
      numeric('lack of fit F'),
      numeric('p'),
    ],
    models.map((row, i): Cell[] => [
      String(i + 1),
      row.model,
      String(row.terms),
      String(row.df),
      row.aicc === null ? null : row.aicc.toFixed(2),
      row.aiccAbove === null ? null : row.aiccAbove.toFixed(2),
      digits(row.predictionError, 3),
      percent(row.relativePredictionError, 2),
      digits(row.lackOfFit?.f, 4),
      probability(row.lackOfFit?.p),
    ]),
  )
  const left = first?.leftOut === 'run' ? 'one run' : `all runs of one ${groupWord(first?.leftOut ?? '')}`
  return [
    `Models of ${response} on the same ${first?.n} runs. AICc is on the scale of ${response} itself, so transformations compare.`,
    `Prediction error: root mean square, ${left} left out at a time.`,
    '',
    rows,
    '',
    'What these runs cannot tell:',
    ...cannotTell.map((words) => `- ${words}`),
  ].join('\n')
}
