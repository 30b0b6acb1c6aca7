import {
  commonSentence,
  holmSentence,
  parallelSentence,
  slopeSentence,
  variationSentence,
  verdictSentence,
} from '../../shared/model/lot-sentences.ts'
import type { GroupComparison } from '../../shared/model/lots.ts'
import { type Cell, digits, numeric, printTable, probability } from './print.ts'

/** How the groups are told apart and judged, and what their shift is corrected with. */
type Words = { by: string; margin: number | null; corrects: string; logarithmic: boolean }

/** A comparison of groups in tables and sentences. */
export function comparisonText(compared: GroupComparison, words: Words): string {
  const { reference, slopes } = compared
  return [
    testTable(compared),
    shiftTable(compared, words),
    ...(reference.speedFor === null ? [] : [speedTable(compared, words)]),
    ...(slopes.length > 0 ? [slopeTable(compared, words)] : []),
    sentences(compared, words).join('\n'),
  ]
    .filter((part) => part !== '')
    .join('\n\n')
}

/** Where sessions have variances besides runs. */
const overDays = ({ variation }: GroupComparison) => variation.length > 1

const questions = { same: 'one curve for all', parallel: 'parallel curves' }

function testTable({ tests }: GroupComparison): string {
  return printTable(
    ['question', numeric('F'), numeric('df'), numeric('p')],
    tests.map(({ question, f, df1, df2, p }): Cell[] => [
      questions[question],
      digits(f, 4),
      `${df1}, ${Number(df2.toPrecision(4))}`,
      probability(p),
    ]),
  )
}

const equal = { true: 'yes', false: 'not shown', null: 'not judged' }

function shiftTable({ reference, shifts }: GroupComparison, { by, margin }: Words): string {
  const ratio = (value: number | null) => (value === null ? null : value.toFixed(4))
  return printTable(
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
}

function speedTable(compared: GroupComparison, { by, corrects }: Words): string {
  const { reference, shifts } = compared
  const stepped = reference.speedSet !== null
  const speed = (value: number | null) => (value === null ? null : digits(value, 5))
  return printTable(
    [
      by,
      numeric(`${corrects} for the target`),
      ...(stepped ? [numeric('to the step')] : []),
      numeric(`beside ${reference.group}: from`),
      numeric('to'),
      numeric(overDays(compared) ? 'on any day: from' : 'by itself: from'),
      numeric('to'),
    ],
    [reference, ...shifts].map((at): Cell[] => [
      at.group,
      speed(at.speedFor),
      ...(stepped ? [digits(at.speedSet, 6)] : []),
      speed(at.besideLower),
      speed(at.besideUpper),
      speed(at.speedLower),
      speed(at.speedUpper),
    ]),
  )
}

function slopeTable({ reference, slopes }: GroupComparison, { by }: Words): string {
  return printTable(
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
}

function sentences(compared: GroupComparison, { by, margin, logarithmic }: Words): string[] {
  const { fittedCurves, commonTerms, reference, variation, shifts, slopes } = compared
  const said = { reference: reference.group, by }
  return [
    ...(margin === null ? [] : shifts.map((shift) => verdictSentence(shift, { ...said, margin }))),
    ...slopes.map((slope) => slopeSentence(slope, { ...said, level: 0.95 })),
    ...(fittedCurves === 'parallel' ? [parallelSentence] : []),
    ...(commonTerms.length > 0 ? [commonSentence({ slopes })] : []),
    ...(shifts.length > 1 ? [holmSentence] : []),
    ...(overDays(compared) ? [variationSentence(variation, { logarithmic, by })] : []),
  ]
}
