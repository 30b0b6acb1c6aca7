import { lotMargin } from '../../shared/model/lot-margin.ts'
import {
  commonSentence,
  holmSentence,
  parallelSentence,
  slopeSentence,
  variationSentence,
  verdictSentence,
} from '../../shared/model/lot-sentences.ts'
import { compareGroups, type GroupComparison } from '../../shared/model/lots.ts'
import { isThickness } from '../../shared/model/over-days.ts'
import { sessionColumn } from '../../shared/model/same-session.ts'
import { columnNamed } from '../../shared/model/table.ts'
import { good } from '../../shared/problem.ts'
import { modelGrammar } from './fit.ts'
import { fileOptions, taker } from './options.ts'
import { type Cell, digits, numeric, printTable, probability } from './print.ts'
import { type FileTable, readTable } from './table-file.ts'
import { inWords, type Verb } from './verb.ts'

/** `evenfilm compare`: the curves of groups, such as resist lots, against each other. */
export const compare: Verb = {
  name: 'compare',
  summary: 'compares groups’ curves: the same, parallel, shifted by how much',
  operands: ['FILE'],
  options: {
    model: { value: '"log(thickness) ~ log(speed)"', help: 'the curve of one group', required: true },
    by: { value: 'COLUMN', help: 'what tells the groups apart (lot)' },
    target: { value: 'VALUE', help: 'the response at which shifts and speeds are given' },
    margin: { value: '1%', help: 'largest difference from the first group that counts as equal' },
    tolerance: { value: 'VALUE', help: 'of the target; without --margin a third of it is the margin' },
    step: { value: 'NUMBER', help: 'what the coater can be set to: speeds are rounded to it as well' },
    ...fileOptions,
  },
  more: [
    'Ratios are to the first group in order of appearance. Equivalence is judged by two one-sided tests at 0.05',
    'for groups coated in one session (column session). Where there is such a column, sessions and visits to the plate',
    '(column plateVisit) have variances: what groups share in a session cancels in their shift.',
    '',
    modelGrammar,
  ].join('\n'),
  async run(given) {
    const { problems, number, share } = taker(given)
    const target = number('target', {}, null)
    const tolerance = number('tolerance', { above: 0 }, null)
    const step = number('step', { above: 0 }, null)
    const stated = share('margin', null)
    const margin =
      stated ?? (tolerance === null ? null : lotMargin({ targetNm: target, toleranceNm: tolerance }).margin)
    if (tolerance !== null && target === null)
      problems.push({
        code: 'missingOption',
        message: '--tolerance needs --target: the margin is a share of it.',
        column: 'target',
      })
    if (problems.length > 0) return { ok: false, problems }
    const file = readTable(given)
    if (!file.ok) return file
    const by = file.value.column(given.text('by') ?? 'lot')
    if (!by.ok) return by
    const { table } = file.value
    const model = given.text('model') ?? ''
    const compared = compareGroups({
      table,
      model,
      by: by.value.name,
      target,
      margin,
      speedStep: step,
      ...(columnNamed(table, sessionColumn) ? { overDays: { thickness: isThickness(model) } } : {}),
    })
    if (!compared.ok) return file.value.atItsRow(compared)
    const { problems: found, ...json } = compared.value
    return good({
      exit: 0,
      json,
      text: words(compared.value, {
        by: by.value.name,
        margin,
        corrects: correctsWith(file.value),
        logarithmic: model.trimStart().startsWith('log('),
      }),
      notes: [...file.value.notes, ...found.map((problem) => inWords(file.value.problemAtItsRow(problem)))],
    })
  },
}

/** What the shift is corrected with, as a heading. */
function correctsWith({ table }: FileTable): string {
  return table.columns.some(({ name }) => name === 'speed' || name === 'rpm') ? 'speed' : 'setting'
}

type Words = { by: string; margin: number | null; corrects: string; logarithmic: boolean }

function words(
  { tests, fittedCurves, commonTerms, reference, variation, shifts, slopes }: GroupComparison,
  { by, margin, corrects, logarithmic }: Words,
): string {
  const questions = { same: 'one curve for all', parallel: 'parallel curves' }
  const testTable = printTable(
    ['question', numeric('F'), numeric('df'), numeric('p')],
    tests.map(({ question, f, df1, df2, p }): Cell[] => [
      questions[question],
      digits(f, 4),
      `${df1}, ${Number(df2.toPrecision(4))}`,
      probability(p),
    ]),
  )
  const ratio = (value: number | null) => (value === null ? null : value.toFixed(4))
  const speed = (value: number | null) => (value === null ? null : digits(value, 5))
  const equal = { true: 'yes', false: 'not shown', null: 'not judged' }
  const stepped = reference.speedSet !== null
  const speeds = (at: Omit<GroupComparison['reference'], 'group'>): Cell[] => [
    speed(at.speedFor),
    ...(stepped ? [digits(at.speedSet, 6)] : []),
    speed(at.besideLower),
    speed(at.besideUpper),
    speed(at.speedLower),
    speed(at.speedUpper),
  ]
  const shiftTable = printTable(
    [
      by,
      numeric(`ratio to ${reference.group}`),
      numeric('lower'),
      numeric('upper'),
      numeric('p of no shift'),
      ...(margin === null
        ? []
        : [numeric('p of equivalence'), `equal within ${Number((100 * margin).toPrecision(4))} %`]),
    ],
    shifts.map((shift): Cell[] => [
      shift.group,
      ratio(shift.ratio),
      ratio(shift.lower),
      ratio(shift.upper),
      probability(shift.pDifferent),
      ...(margin === null ? [] : [probability(shift.pEquivalent), equal[`${shift.equivalent}`]]),
    ]),
  )
  const days = variation.length > 1
  const speedTable = printTable(
    [
      by,
      numeric(`${corrects} for the target`),
      ...(stepped ? [numeric('to the step')] : []),
      numeric(`beside ${reference.group}: from`),
      numeric('to'),
      numeric(days ? 'on any day: from' : 'by itself: from'),
      numeric('to'),
    ],
    [
      [reference.group, ...speeds(reference)],
      ...shifts.map((shift): Cell[] => [shift.group, ...speeds(shift)]),
    ],
  )
  const slopeTable = printTable(
    [by, 'term', numeric(`of ${reference.group}`), numeric('difference'), numeric('lower'), numeric('upper')],
    slopes.map((slope): Cell[] => [
      slope.group,
      slope.term,
      digits(slope.reference, 4),
      digits(slope.difference, 3),
      digits(slope.lower, 3),
      digits(slope.upper, 3),
    ]),
  )
  const said = { reference: reference.group, by }
  const sentences = [
    ...(margin === null ? [] : shifts.map((shift) => verdictSentence(shift, { ...said, margin }))),
    ...slopes.map((slope) => slopeSentence(slope, { ...said, level: 0.95 })),
    ...(fittedCurves === 'parallel' ? [parallelSentence] : []),
    ...(commonTerms.length > 0 ? [commonSentence({ slopes })] : []),
    ...(shifts.length > 1 ? [holmSentence] : []),
    ...(days ? [variationSentence(variation, { logarithmic, by })] : []),
  ]
  return [
    testTable,
    shiftTable,
    ...(reference.speedFor === null ? [] : [speedTable]),
    ...(slopes.length > 0 ? [slopeTable] : []),
    sentences.join('\n'),
  ]
    .filter((part) => part !== '')
    .join('\n\n')
}
