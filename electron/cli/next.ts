import type { Choice } from '../../shared/contract/results/next.ts'
import type { Factor, Settings } from '../../shared/contract/things.ts'
import { fitModel } from '../../shared/model/fit.ts'
import { fitOverDays, isThickness } from '../../shared/model/over-days.ts'
import { columnNamed, isCategorical } from '../../shared/model/table.ts'
import { runCostAfter } from '../../shared/next/cost.ts'
import type { Searchable } from '../../shared/next/predictor.ts'
import { chanceInWords } from '../../shared/next/reason.ts'
import { recommend } from '../../shared/next/recommend.ts'
import { scopeInWords } from '../../shared/next/scope.ts'
import { type Answer, good, type Problem, refuse } from '../../shared/problem.ts'
import { usualBench } from './bench.ts'
import { convertUnit } from './convert-unit.ts'
import { factorGrammar, factorsOf, usualUnit } from './factor-option.ts'
import { modelGrammar } from './fit.ts'
import { fileOptions, taker } from './options.ts'
import { honest, span } from './print.ts'
import { type FileTable, readTable } from './table-file.ts'
import { inWords, type Verb } from './verb.ts'

/** `evenfilm next`: the settings to run next, from a fit. */
export const next: Verb = {
  name: 'next',
  summary: 'recommends the next run, with its prediction, chance, cost and reason',
  operands: ['FILE'],
  options: {
    model: { value: '"log(thickness) ~ log(speed) + time"', help: 'the model', required: true },
    factor: { value: '…', help: 'a factor and where it may be set', repeat: true, required: true },
    target: { value: 'VALUE', help: 'target of the response, in its unit', required: true },
    tolerance: { value: 'VALUE', help: 'tolerance, to either side', required: true },
    for: {
      value: 'reach|learn|both',
      help: 'best chance to be in tolerance, most learnt, or the best of both (reach)',
    },
    count: { value: 'N', help: 'choices, that lie apart (1)' },
    seed: { value: 'N', help: 'starts the search where a grid would be too large (1)' },
    ...fileOptions,
  },
  more: [
    factorGrammar,
    '  Here LOW may equal HIGH and a factor may have one level: it is held there. log only sets the search.',
    '',
    modelGrammar,
  ].join('\n'),
  async run(given) {
    const { problems, take, number, word } = taker(given)
    const region = take(factorsOf(given.texts('factor'), { fixed: true })) ?? []
    const target = number('target', {}, 0)
    const tolerance = number('tolerance', { above: 0 }, 1)
    const aim = word('for', ['reach', 'learn', 'both'], 'reach')
    const count = number('count', { whole: true, atLeast: 1, atMost: 20 }, 1)
    const seed = number('seed', { whole: true, atLeast: 0, atMost: 2 ** 31 - 1 }, 1)
    if (problems.length > 0) return { ok: false, problems }
    const file = readTable(given)
    if (!file.ok) return file
    const model = fitOf(file.value, given.text('model') ?? '')
    if (!model.ok) return file.value.atItsRow(model)
    const factors = factorsInTable(region, file.value)
    if (!factors.ok) return factors
    const tested = testedSettings(factors.value, file.value, model.value.rows)
    const bench = usualBench()
    const last = tested.at(-1)
    const found = recommend({
      model: model.value,
      region: factors.value,
      target,
      tolerance,
      aims: [aim],
      count,
      seed,
      tested,
      costOf: runCostAfter({ factors: factors.value, bench, ...(last ? { last } : {}) }),
    })
    if (!found.ok) return found
    const { choices } = found.value
    return good({
      exit: 0,
      json: { choices: choices.map(({ aim: _, ...choice }) => choice) },
      text: choices.map((choice, i) => choiceInWords(choice, i, model.value, factors.value)).join('\n\n'),
      notes: [
        ...file.value.notes,
        ...model.value.problems.map(inWords),
        `Costs take ${bench.coatMinutes} min to coat and ${bench.readMinutes} min to read a substrate, and the last row of the file as the run made last.`,
      ],
    })
  },
}

/** With the variance between sessions where the file has a column of that name. */
function fitOf({ table }: FileTable, model: string): Answer<Searchable> {
  if (!columnNamed(table, 'session')) return fitModel({ table, model })
  return fitOverDays({ table, model, thickness: isThickness(model) })
}

/** Every factor must be a column of the file, of its kind; its range comes out in the column's unit. */
function factorsInTable(region: Factor[], { table }: FileTable): Answer<Factor[]> {
  const problems: Problem[] = []
  const factors: Factor[] = []
  for (const factor of region) {
    const column = columnNamed(table, factor.name)
    if (column === undefined)
      problems.push({
        code: 'unknownColumn',
        message: `--factor ${factor.name}: there is no such column. There are ${table.columns.map(({ name }) => name).join(', ')}.`,
        column: factor.name,
      })
    else if (isCategorical(column) !== (factor.kind === 'categorical'))
      problems.push({
        code: 'badFactor',
        message: isCategorical(column)
          ? `--factor ${factor.name}: the column holds names; give levels as ${factor.name}=A|B.`
          : `--factor ${factor.name}: the column holds numbers; give a range as ${factor.name}=LOW:HIGH.`,
        column: factor.name,
      })
    else {
      const converted = inUnit(factor, column.unit ?? usualUnit[factor.role])
      if (converted.ok) factors.push(converted.value)
      else problems.push(...converted.problems)
    }
  }
  return problems.length > 0 ? { ok: false, problems } : good(factors)
}

/** A factor with its range in the unit of its column; without a unit on either side there is nothing to compare. */
function inUnit(factor: Factor, unit: string): Answer<Factor> {
  if (factor.kind === 'categorical' || factor.unit === '' || unit === '') return good(factor)
  const [low, high, step] = [factor.low, factor.high, factor.step].map((value) =>
    value === null ? null : convertUnit(value, factor.unit, unit),
  ) as [number | null, number | null, number | null]
  if (low === null || high === null)
    return refuse(
      'unitMismatch',
      `--factor ${factor.name}: the range is in ${factor.unit}, the column in ${unit}. Give the range in ${unit}.`,
      { column: factor.name },
    )
  return good({ ...factor, unit, low, high, step })
}

/** The settings of the rows that the model was fitted to, in the order of the file. */
function testedSettings(factors: Factor[], { table }: FileTable, rows: number[]): Settings[] {
  return rows.map((row) =>
    Object.fromEntries(
      factors.flatMap(({ name }) => {
        const value = columnNamed(table, name)?.values[row]
        return value === null || value === undefined ? [] : [[name, value]]
      }),
    ),
  )
}

function choiceInWords(choice: Choice, place: number, model: Searchable, factors: Factor[]): string {
  const unit = model.unitOf(model.responseName)
  const after = unit === '' ? '' : ` ${unit}`
  const kind = model.fitted.frame.scale.function === 'plain' ? 'mean' : 'median'
  const settings = factors.map(({ name, unit: own }) => {
    const value = choice.settings[name]
    return `${name} ${value}${own === '' || typeof value === 'string' ? '' : ` ${own}`}`
  })
  const { minutes, resistMl, plateChange } = choice.cost
  return [
    `${place + 1}. ${settings.join(', ')}`,
    `   predicted ${kind} ${honest(choice.estimate, choice.standardErrorOfMean)}${after}, standard error ${honest(choice.standardErrorOfMean, choice.standardErrorOfMean)}${after}`,
    ...(['sameSession', 'otherSession'] as const).flatMap((scope) => {
      const [interval, chance] = [choice.prediction[scope], choice.chanceInTolerance[scope]]
      return interval === null || chance === null
        ? []
        : [
            `   one run ${scopeInWords({ scope, session: choice.present?.session })}: ${span(interval)}${after}; chance in tolerance ${chanceInWords(chance)}`,
          ]
    }),
    `   cost ${minutes.toFixed(0)} min, ${resistMl} mL${plateChange ? ', with a change of the plate' : ''}`,
    `   ${choice.reason}`,
  ].join('\n')
}
