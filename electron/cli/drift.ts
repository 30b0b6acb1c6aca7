import { trendMeasures } from '../../shared/contract/choices.ts'
import type { DriftSeries, LimitsFrom } from '../../shared/contract/results/drift.ts'
import { leastPoints } from '../../shared/drift/control-chart.ts'
import { ruleWords } from '../../shared/drift/drift-words.ts'
import { type DriftRule, driftRules, usualChoice } from '../../shared/drift/rules.ts'
import { watchSeries } from '../../shared/drift/watch-series.ts'
import type { Column } from '../../shared/model/table.ts'
import { type Answer, good, refuse } from '../../shared/problem.ts'
import { fileOptions, type Given, taker } from './options.ts'
import { type Cell, digits, numeric, printTable } from './print.ts'
import { type FileTable, numbersOf, readTable } from './table-file.ts'
import type { Verb } from './verb.ts'

/** The rules by the short names of the command line, in the order of `driftRules`. */
const shortNames: Record<string, DriftRule> = {
  three: 'beyond three',
  two: 'two of three',
  four: 'four of five',
  eight: 'eight on one side',
  average: 'average',
}

/** `evenfilm drift`: whether readings in the order of time stay where they were. */
export const drift: Verb = {
  name: 'drift',
  summary: 'readings in the order of time: limits, broken rules, what changed at events, a steady trend',
  operands: ['FILE'],
  options: {
    value: { value: 'COLUMN', help: 'the readings, one a row (thickness)' },
    limits: {
      value: 'N|FROM:TO',
      help: 'the readings that set the limits: the first N, or those named (half, but 15 to 25)',
    },
    rules: { value: 'three,average', help: 'the rules in force, of three, two, four, eight, average' },
    event: { value: '"14 fresh bottle"', help: 'what happened just before that reading', repeat: true },
    along: {
      value: 'openings|days',
      help: 'the column that a trend is measured along (readings, one by one)',
    },
    linear: { help: 'reckon in the unit of the readings in place of their logarithms' },
    level: { value: 'LEVEL', help: 'of the intervals (0.95)' },
    ...fileOptions,
  },
  more: [
    'Limits of individual values by the mean moving range (centre ± 3·MR/d2), and of the weighted average (weight 0.2,',
    'width 2.7). Rules: three = one reading beyond three deviations, two = two of three beyond two, four = four of five',
    'beyond one, eight = eight in a row on one side, average = the weighted average beyond its limits. The chance of a',
    'false alarm is simulated for these rules, with limits from as many readings, over the next 24. A change at an event',
    'is told by the readings since the event before it and up to the next: as the difference of the means, and with the',
    'trend taken out, which is one slope in all stretches between events. On the scale of logarithms, which is taken',
    'unless --linear, both are shares. Limits that begin later, as --limits 14: after an event, watch from there on.',
  ].join('\n'),
  async run(given) {
    const { problems, number, word, take } = taker(given)
    const limitsFrom = take(limitsOf(given)) ?? { from: 1, to: null }
    const level = number('level', { above: 0.5, below: 1 }, 0.95)
    const measure = word('along', trendMeasures, 'readings')
    const rules = take(rulesOf(given)) ?? []
    const events = given.texts('event').flatMap((text) => take(eventOf(text)) ?? [])
    if (problems.length > 0) return { ok: false, problems }
    const file = readTable(given)
    if (!file.ok) return file
    const column = file.value.column(given.text('value') ?? 'thickness')
    if (!column.ok) return column
    const along = measure === 'readings' ? null : file.value.column(measure)
    if (along && !along.ok) return along
    const found = valuesOf(file.value, column.value, along?.value ?? null)
    if (!found.ok) return found
    const { values, x } = found.value
    const scale = given.has('linear') ? 'linear' : 'log'
    const wrong = scale === 'log' ? values.findIndex(({ value }) => !(value > 0)) : -1
    if (wrong >= 0)
      return refuse(
        'notPositive',
        `Row ${values[wrong]?.row}, ${column.value.name}: ${values[wrong]?.value} has no logarithm; use --linear.`,
        { row: values[wrong]?.row as number, column: column.value.name },
      )
    if (Math.max(limitsFrom.from, limitsFrom.to ?? 0) > values.length)
      return refuse('badOption', `--limits ${given.text('limits')}: there are ${values.length} readings.`, {
        column: 'limits',
      })
    const unit = column.value.unit ?? ''
    const series = watchSeries({
      values: values.map(({ value }) => value),
      ...{ scale, limitsFrom, rules, level, unit, breaks: events, along: { measure, x } },
    })
    if (series.problems.length > 0) return { ok: false, problems: series.problems }
    return good({
      exit: 0,
      json: series,
      text: words(series, unit),
      notes: file.value.notes,
    })
  },
}

function rulesOf(given: Given): Answer<DriftRule[]> {
  const text = given.text('rules')
  if (text === null) return good([...usualChoice.rules])
  const named = text.split(',').map((name) => name.trim())
  const unknown = named.find((name) => !Object.hasOwn(shortNames, name))
  if (unknown !== undefined)
    return refuse(
      'badOption',
      `--rules ${text}: ‘${unknown}’ is none of ${Object.keys(shortNames).join(', ')}.`,
      {
        column: 'rules',
      },
    )
  const chosen = named.map((name) => shortNames[name] as DriftRule)
  return good(driftRules.filter((rule) => chosen.includes(rule)))
}

function limitsOf(given: Given): Answer<LimitsFrom> {
  const text = given.text('limits')
  if (text === null) return good({ from: 1, to: null })
  const [, first, last] = /^(?:(\d+)\s*:)?\s*(\d*)$/.exec(text.trim()) ?? []
  const from = Number(first ?? 1)
  const to = last ? Number(last) : null
  const readable = first !== undefined || to !== null
  if (!readable || from < 1 || (to !== null && to - from + 1 < leastPoints))
    return refuse(
      'badOption',
      `--limits ${text}: write how many of the first readings, as 15, or which, as 14:24; at least ${leastPoints}.`,
      { column: 'limits' },
    )
  return good({ from, to })
}

function eventOf(text: string): Answer<{ words: string; before: number }> {
  const [, reading = '', what = ''] = /^(\d+)\s+(\S.*)$/s.exec(text.trim()) ?? []
  if (what === '' || Number(reading) < 1)
    return refuse(
      'badOption',
      `--event ${text}: write it as "14 fresh bottle", the reading after it first.`,
      {
        column: 'event',
      },
    )
  return good({ words: what, before: Number(reading) - 1 })
}

type Found = { values: { row: number; value: number }[]; x: number[] }

/** The readings, and along what a trend is measured; empty cells are no readings. */
function valuesOf(file: FileTable, column: Column, along: Column | null): Answer<Found> {
  const numbers = numbersOf(file, along ? [column, along] : [column])
  if (!numbers.ok) return numbers
  const [values = [], xs = []] = numbers.value
  const kept = values.flatMap((value, i) =>
    value === null ? [] : [{ value, row: file.rows[i] ?? 0, x: xs[i] }],
  )
  const missing = along ? kept.find(({ x }) => x === null) : undefined
  if (missing)
    return refuse(
      'emptyCell',
      `Row ${missing.row}, ${along?.name}: the cell is empty, so the trend has no place for it.`,
      {
        row: missing.row,
        column: along?.name ?? '',
      },
    )
  return good({ values: kept, x: kept.map(({ x }, i) => x ?? i) })
}

function words(series: DriftSeries, unit: string): string {
  const { chart, rules } = series
  const { limits, alarms } = chart
  const table = printTable(
    [numeric('reading'), numeric('value'), numeric('average'), numeric('moving range'), 'rules broken'],
    chart.readings.map(({ value, average, movingRange }, i): Cell[] => [
      String(i + 1),
      digits(value),
      digits(average?.value),
      digits(movingRange, 3),
      alarms
        .filter(({ reading }) => reading === i + 1)
        .map(({ rule, side }) => `${rule} ${side}`)
        .join(', '),
    ]),
  )
  return [
    table,
    '',
    ...(limits
      ? [
          `Centre ${digits(limits.centre)}, limits ${digits(limits.lower)} to ${digits(limits.upper)}${unit ? ` ${unit}` : ''}.`,
        ]
      : []),
    `Rules in force: ${rules.map((rule) => ruleWords[rule]).join('; ') || 'none'}.`,
    ...(alarms.length === 0 ? ['No rule is broken.'] : alarms.map((alarm) => alarm.words)),
    ...series.words,
    ...series.changes.map((change) => change.words),
    ...(series.trend ? [series.trend.words] : []),
  ].join('\n')
}
