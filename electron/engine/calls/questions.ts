import type { Reading, Study } from '../../../shared/contract/things.ts'
import { typedReading } from '../../../shared/film/doubt-causes.ts'
import { expectationOf, questionReadings } from '../../../shared/film/question-readings.ts'
import { questionWords } from '../../../shared/film/question-words.ts'
import type { Problem } from '../../../shared/problem.ts'
import type { Expected } from './expected.ts'

/** A thickness reading that counts; `row` says where it was just entered, null where it stood before. */
type Counting = Pick<Reading, 'site' | 'xMm' | 'yMm' | 'value' | 'text' | 'unit'> & { row: number | null }

/** The questions to what was just entered, as warnings: the readings are kept as typed. */
export function questionsOf(input: {
  study: Study
  expected: Expected | null
  readings: readonly Counting[]
}): Problem[] {
  const { study, expected } = input
  const counting = input.readings.filter(({ value }) => value > 0)
  if (!counting.some(({ row }) => row !== null)) return []
  const readings = counting.map(typedReading)
  const questions = questionReadings({ ...study, readings, expectation: expectationOf(study, expected) })
  return questions.flatMap((question): Problem[] => {
    const entered = question.readings
      .map((i) => counting[i] as Counting)
      .filter((reading) => reading.row !== null)
    const first = entered[0]
    if (!first) return []
    return [
      {
        code: question.causes[0]?.cause ?? 'level',
        message: questionWords(question, readings, study),
        row: first.row as number,
        ...(question.readings.length === 1 && first.site !== null ? { column: `site ${first.site}` } : {}),
      },
    ]
  })
}
