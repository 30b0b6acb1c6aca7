import { fixed, plainNumber, pWords, significant } from '../charts/format.ts'
import type { Comparison } from '../contract/results/compare.ts'
import type { FieldDecision } from '../contract/results/lot-decision.ts'

type Test = Comparison['tests'][number]
type Shift = Comparison['shifts'][number]

const questions: Record<Test['question'], { asked: string; no: string; yes: string }> = {
  same: {
    asked: 'Does one curve serve all lots?',
    no: 'No: the lots differ.',
    yes: 'The runs do not contradict one curve for all. That is no proof that the lots are equal.',
  },
  parallel: {
    asked: 'Are the curves parallel?',
    no: 'No: the lots differ in how they respond, so one shift and one corrected speed hold only near the target.',
    yes: 'The runs do not contradict parallel curves, so one correction serves the whole range.',
  },
}

/** A test as question, answer and numbers. */
export function testWords(test: Test): { asked: string; answer: string; numbers: string; clear: boolean } {
  const { asked, no, yes } = questions[test.question]
  if (test.p === null) return { asked, answer: 'There are too few runs to tell.', numbers: '', clear: false }
  return {
    asked,
    answer: test.p < 0.05 ? no : yes,
    numbers: `F = ${significant(test.f, 4)} on ${test.df1} and ${plainNumber(Number(test.df2.toPrecision(4)))} degrees of freedom, ${pWords(test.p)}`,
    clear: test.p < 0.05,
  }
}

/** A ratio as its distance from 1 in percent, with its sign. */
export function asPercent(ratio: number | null): string {
  if (ratio === null) return '–'
  const percent = (ratio - 1) * 100
  return `${percent > 0 ? '+' : ''}${fixed(percent, 2)} %`
}

/** Whether a lot may be taken as equal within the margin, as the data support it; the decision is a person's. */
export function equivalenceWords(shift: Shift, marginPercent: number | null): string {
  if (marginPercent === null) return 'no margin stated'
  if (shift.equivalent === null) return 'not judged: days may differ'
  return shift.equivalent
    ? `equal within ±${significant(marginPercent, 2)} %`
    : `not shown to be equal within ±${significant(marginPercent, 2)} %`
}

export const decisionWords: Record<FieldDecision, string> = {
  accept: 'Accept as it is',
  'correct speed': 'Use with the corrected speed',
  'do not use': 'Do not use',
}
