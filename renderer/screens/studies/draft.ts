import type { Segment, Study, StudyInput } from '../../../shared/contract/things.ts'
import type { Problem } from '../../../shared/problem.ts'

/**
 * What the form of a new study starts with: usual numbers for one cassette of 100 mm substrates on a coater
 * worked by hand (common practice, no source). Target, tools and resist are left open.
 */
export function newStudy(): StudyInput {
  return {
    name: '',
    question: '',
    targetNm: null,
    toleranceNm: null,
    uniformityLimit: null,
    uniformityFormula: 'halfRangeOverMean',
    substrate: '',
    diameterMm: 100,
    edgeExclusionMm: 6,
    siteMap: '9',
    resist: '',
    lots: [],
    thicknessUnit: 'nm',
    coaterId: null,
    hotPlateId: null,
    gaugeId: null,
    chuckMm: null,
    program: [
      { rpm: 500, ramp: 500, time: 5 },
      { rpm: 3000, ramp: 1000, time: 40 },
      { rpm: 0, ramp: 1000, time: 5 },
    ],
    bakeTemperature: 100,
    bakeTime: 60,
    coatMl: 3.5,
    purgeMl: 10,
    dummies: 2,
    spares: 2,
    coatMinutes: 6,
    readMinutes: 5,
    roomRules: '',
    notes: '',
  }
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
  if (form.name.trim() === '') add('name', 'Give the study a name.')
  if (form.targetNm !== null && form.toleranceNm !== null && form.toleranceNm >= form.targetNm)
    add('toleranceNm', 'The tolerance is as large as the target.')
  if (form.edgeExclusionMm >= form.diameterMm / 2)
    add('edgeExclusionMm', 'The edge exclusion leaves nothing of the substrate.')
  if (new Set(form.lots).size < form.lots.length) add('lots', 'Two lots have the same name.')
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
