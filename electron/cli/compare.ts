import {
  holmSentence,
  parallelSentence,
  slopeSentence,
  verdictSentence,
} from '../../shared/model/lot-sentences.ts'
import { compareGroups, type GroupComparison } from '../../shared/model/lots.ts'
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
    ...fileOptions,
  },
  more: [
    'Ratios are to the first group in order of appearance. Equivalence is judged by two one-sided tests at 0.05',
    'for groups coated in one session (column session).',
    '',
    modelGrammar,
  ].join('\n'),
  async run(given) {
    const { problems, number, share } = taker(given)
    const target = number('target', {}, null)
    const margin = share('margin', null)
    if (problems.length > 0) return { ok: false, problems }
    const file = readTable(given)
    if (!file.ok) return file
    const by = file.value.column(given.text('by') ?? 'lot')
    if (!by.ok) return by
    const compared = compareGroups({
      table: file.value.table,
      model: given.text('model') ?? '',
      by: by.value.name,
      target,
      margin,
    })
    if (!compared.ok) return file.value.atItsRow(compared)
    const { problems: found, ...json } = compared.value
    return good({
      exit: 0,
      json,
      text: words(compared.value, by.value.name, margin, correctsWith(file.value)),
      notes: [...file.value.notes, ...found.map((problem) => inWords(file.value.problemAtItsRow(problem)))],
    })
  },
}

/** What the shift is corrected with, as a heading. */
function correctsWith({ table }: FileTable): string {
  return table.columns.some(({ name }) => name === 'speed' || name === 'rpm') ? 'speed' : 'setting'
}

function words(
  { tests, fittedCurves, reference, shifts, slopes }: GroupComparison,
  by: string,
  margin: number | null,
  corrects: string,
): string {
  const questions = { same: 'one curve for all', parallel: 'parallel curves' }
  const testTable = printTable(
    ['question', numeric('F'), numeric('df'), numeric('p')],
    tests.map(({ question, f, df1, df2, p }): Cell[] => [
      questions[question],
      digits(f, 4),
      `${df1}, ${df2}`,
      probability(p),
    ]),
  )
  const ratio = (value: number | null) => (value === null ? null : value.toFixed(4))
  const speed = (value: number | null) => (value === null ? null : digits(value, 5))
  const equal = { true: 'yes', false: 'not shown', null: 'not judged' }
  const shiftTable = printTable(
    [
      by,
      numeric(`ratio to ${reference.group}`),
      numeric('lower'),
      numeric('upper'),
      numeric(`${corrects} for the target`),
      numeric('lower'),
      numeric('upper'),
      numeric('p of no shift'),
      ...(margin === null
        ? []
        : [numeric('p of equivalence'), `equal within ${Number((100 * margin).toPrecision(4))} %`]),
    ],
    [
      [
        reference.group,
        '1',
        '',
        '',
        speed(reference.speedFor),
        speed(reference.speedLower),
        speed(reference.speedUpper),
        '',
        ...(margin === null ? [] : ['', '']),
      ],
      ...shifts.map((shift): Cell[] => [
        shift.group,
        ratio(shift.ratio),
        ratio(shift.lower),
        ratio(shift.upper),
        speed(shift.speedFor),
        speed(shift.speedLower),
        speed(shift.speedUpper),
        probability(shift.pDifferent),
        ...(margin === null ? [] : [probability(shift.pEquivalent), equal[`${shift.equivalent}`]]),
      ]),
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
    ...(shifts.length > 1 ? [holmSentence] : []),
  ]
  return [testTable, shiftTable, ...(slopes.length > 0 ? [slopeTable] : []), sentences.join('\n')]
    .filter((part) => part !== '')
    .join('\n\n')
}
