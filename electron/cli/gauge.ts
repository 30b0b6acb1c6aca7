import { analyseGaugeStudy } from '../../shared/gauge/analyse-study.ts'
import { analyseCheckLog } from '../../shared/gauge/check-log.ts'
import { gaugeBias } from '../../shared/gauge/gauge-bias.ts'
import { grouped } from '../../shared/gauge/grouped.ts'
import { type Answer, good, type Problem, refuse } from '../../shared/problem.ts'
import { biasText, checkText, studyText } from './gauge-tables.ts'
import { fileOptions, type Given, strayOption, taker } from './options.ts'
import { type FileTable, numbersOf, readTable } from './table-file.ts'
import { inWords, type Outcome, type Verb } from './verb.ts'

/** `evenfilm gauge`: what a gauge scatters, how two gauges differ, or the log of a check standard. */
export const gauge: Verb = {
  name: 'gauge',
  summary: 'a gauge study: repeatability, reload, share of the tolerance; or a check standard',
  operands: ['FILE'],
  options: {
    value: { value: 'COLUMN', help: 'the readings (thickness)' },
    tolerance: {
      value: 'VALUE',
      help: '± the tolerance that the gauge has to serve, in the unit of the readings',
    },
    share: { value: 'SHARE', help: 'also find how many readings take no more than this share, such as 20%' },
    nominal: { value: 'VALUE', help: 'readings of one check standard by day: its certified value' },
    uncertainty: { value: 'VALUE', help: 'standard uncertainty of the certified value (0)' },
    level: { value: 'LEVEL', help: 'of the intervals (0.95)' },
    ...fileOptions,
  },
  more: [
    'Columns: wafer, operator (where there is one), reload, and the readings, a scan a row: rows of the same wafer,',
    'operator and reload are scans of one loading. With a column gauge each gauge is studied by itself, and two',
    'are compared on the wafers that both have read. With --nominal the columns are day (YYYY-MM-DD) and the',
    'readings. Variances by the analysis of variance, a negative one as zero; intervals by χ² or modified large',
    'sample (Graybill & Wang 1980; Ting et al. 1990), degrees of freedom of sums by Satterthwaite.',
  ].join('\n'),
  async run(given) {
    const { problems, number, share } = taker(given)
    const tolerance = number('tolerance', { above: 0 }, null)
    const wanted = share('share', null)
    const nominal = number('nominal', { above: 0 }, null)
    const uncertainty = number('uncertainty', { atLeast: 0 }, 0)
    const level = number('level', { above: 0.5, below: 1 }, 0.95)
    if (problems.length > 0) return { ok: false, problems }
    const stray = strayOption(given, { uncertainty: 'nominal', share: 'tolerance' })
    if (!stray.ok) return stray
    const file = readTable(given)
    if (!file.ok) return file
    const values = valuesOf(file.value, given)
    if (!values.ok) return values
    return nominal === null
      ? studies(file.value, values.value, { tolerance, wanted, level })
      : checkLog(file.value, values.value, { nominalNm: nominal, uncertaintyNm: uncertainty }, level)
  },
}

type Values = { unit: string; values: (number | null)[] }

function valuesOf(file: FileTable, given: Given): Answer<Values> {
  const column = file.column(given.text('value') ?? 'thickness')
  if (!column.ok) return column
  const numbers = numbersOf(file, [column.value])
  if (!numbers.ok) return numbers
  return good({ unit: column.value.unit ?? '', values: numbers.value[0] ?? [] })
}

/** The texts of a column by row; of one that may be missing, the same text for all. */
function textsOf(file: FileTable, name: string, otherwise: string): string[] {
  const column = file.table.columns.find((one) => one.name.toLowerCase() === name)
  if (!column) return Array.from({ length: file.table.rows }, () => otherwise)
  return file.cells(column).map((cell) => cell.trim())
}

function studies(
  file: FileTable,
  { unit, values }: Values,
  options: { tolerance: number | null; wanted: number | null; level: number },
): Answer<Outcome> {
  const reload = file.column('reload')
  if (!reload.ok) return reload
  const reloads = file.cells(reload.value)
  const wafers = textsOf(file, 'wafer', 'the wafer')
  const operators = textsOf(file, 'operator', '')
  const byGauge = grouped(
    textsOf(file, 'gauge', '').flatMap((name, i) => {
      const value = values[i]
      const [wafer, operator, loaded] = [wafers[i] ?? '', operators[i] ?? '', reloads[i]?.trim() ?? '']
      return value === null || value === undefined ? [] : [{ name, wafer, operator, reload: loaded, value }]
    }),
    ({ name }) => name,
  )
  if (byGauge.size === 0) return refuse('noReadings', 'No row of this file holds a reading.')
  const gauges = []
  const notes: string[] = []
  for (const [name, readings] of byGauge) {
    const result = analyseGaugeStudy(readings, options)
    if (!result.ok) return { ok: false, problems: named(result.problems, name) }
    gauges.push({ gauge: name, ...result.value })
    notes.push(...named(result.value.problems, name).map(inWords))
  }
  const [first, second] = [...byGauge]
  const bias = first && second && byGauge.size === 2 ? gaugeBias(first[1], second[1], options.level) : null
  if (bias && !bias.ok) notes.push(...bias.problems.map(inWords))
  const compared = bias?.ok ? bias.value : null
  return good({
    exit: 0,
    json: { gauges, bias: compared },
    text: [
      ...gauges.map((one) => studyText(one, one.gauge, unit)),
      ...(compared && first && second
        ? [biasText(compared, { first: first[0], second: second[0] }, unit)]
        : []),
    ].join('\n\n'),
    notes: [...file.notes, ...notes],
  })
}

const named = (problems: readonly Problem[], gauge: string): Problem[] =>
  problems.map((problem) => (gauge ? { ...problem, message: `${gauge}: ${problem.message}` } : problem))

function checkLog(
  file: FileTable,
  { unit, values }: Values,
  standard: { nominalNm: number; uncertaintyNm: number },
  level: number,
): Answer<Outcome> {
  const day = file.column('day')
  if (!day.ok) return day
  const days = file.cells(day.value).map((cell) => cell.trim())
  const wrong = days.findIndex((text) => !isDay(text))
  if (wrong >= 0) {
    const row = file.rows[wrong] ?? 0
    return refuse(
      'badDay',
      `Row ${row}, ${day.value.name}: ‘${days[wrong]}’ is no day; write it as 2026-03-02.`,
      {
        row,
        column: day.value.name,
      },
    )
  }
  const readings = values.flatMap((value, i) => (value === null ? [] : [{ day: days[i] ?? '', value }]))
  const log = analyseCheckLog(readings, standard, level)
  if (!log.ok) return log
  return good({
    exit: 0,
    json: log.value,
    text: checkText(log.value, unit),
    notes: [...file.notes, ...log.value.problems.map(inWords)],
  })
}

/** A day of the calendar as 2026-03-02; 31 February is none. */
function isDay(text: string): boolean {
  const at = /^\d{4}-\d{2}-\d{2}$/.test(text) ? new Date(text) : null
  return at !== null && !Number.isNaN(at.getTime()) && at.toISOString().startsWith(text)
}
