import type { Segment, Study, StudyInput } from '../../../shared/contract/things.ts'
import { substrateProblems } from '../../../shared/film/check-substrate.ts'
import type { Problem } from '../../../shared/problem.ts'
import { repeatedSteps } from '../../../shared/process/card-steps.ts'
import { studyDefaults } from '../../../shared/study-defaults.ts'
import { words } from './words.ts'

/** What the form of a new study starts with: the usual numbers, and no name yet. */
export function newStudy(): StudyInput {
  return structuredClone({ name: '', ...studyDefaults })
}

/** The fields of the form out of a whole study. */
export function inputOf(study: Study): StudyInput {
  const entries = Object.keys(newStudy()).map((key) => [key, study[key as keyof StudyInput]])
  return JSON.parse(JSON.stringify(Object.fromEntries(entries))) as StudyInput
}

/** The fields in which a form differs from what is kept; empty where nothing does. */
export function changeBetween(kept: StudyInput, form: StudyInput): Partial<StudyInput> {
  const keys = Object.keys(kept) as (keyof StudyInput)[]
  const changed = keys.filter((key) => JSON.stringify(kept[key]) !== JSON.stringify(form[key]))
  return Object.fromEntries(changed.map((key) => [key, form[key]]))
}

/** What keeps the form from being saved, by field. */
export function problemsOf(form: StudyInput): Problem[] {
  const problems: Problem[] = []
  const add = (column: keyof StudyInput, message: string) => problems.push({ code: 'field', column, message })
  if (form.name.trim() === '') add('name', words.problems.noName)
  if (form.targetNm !== null && form.toleranceNm !== null && form.toleranceNm >= form.targetNm)
    add('toleranceNm', words.problems.tolerance)
  problems.push(...substrateProblems(form))
  if (new Set(form.lots).size < form.lots.length) add('lots', words.problems.lots)
  if (form.steps.some(({ name }) => name.trim() === '')) add('steps', words.problems.stepNoName)
  if (repeatedSteps(form.steps).length > 0) add('steps', words.problems.stepTwice)
  return problems
}

/** Lot names as typed into one field: separated by commas or semicolons. */
export function readLots(text: string): string[] {
  return text
    .split(/[,;]/)
    .map((name) => name.trim())
    .filter((name) => name !== '')
}

/** A new segment behind the others: at the speed of the last. */
export function nextSegment(program: readonly Segment[]): Segment {
  const last = program.at(-1)
  return last ? { ...last } : { rpm: 500, ramp: 500, time: 5 }
}
