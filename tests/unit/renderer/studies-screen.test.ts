import { describe, expect, test } from 'vitest'
import { readFile } from '../../../renderer/file-text.ts'
import {
  changeBetween,
  inputOf,
  newStudy,
  problemsOf,
  readLots,
} from '../../../renderer/screens/studies/draft.ts'
import { checkOfStudy } from '../../../renderer/screens/studies/study-check.ts'
import { findStudies, runsInAll } from '../../../renderer/stores/study-search.ts'
import { studyInput } from '../../../shared/contract/things.ts'

describe('the form of a study', () => {
  test('what it starts with is a study by the contract, once it has a name', () => {
    expect(studyInput.safeParse({ ...newStudy(), name: 'K' }).success).toBe(true)
  })

  test('what it starts with is within the usual limits, with no warning', () => {
    const check = checkOfStudy(newStudy(), { coaters: [], hotPlates: [] })
    expect(check.findings).toEqual([])
  })

  test('needs a name, a tolerance below the target, and something left inside the edge', () => {
    expect(problemsOf(newStudy()).map((problem) => problem.column)).toEqual(['name'])
    const form = {
      ...newStudy(),
      name: 'K',
      targetNm: 30,
      toleranceNm: 30,
      edgeExclusionMm: 50,
      lots: ['A', 'A'],
    }
    expect(problemsOf(form).map((problem) => problem.column)).toEqual([
      'toleranceNm',
      'edgeExclusionMm',
      'lots',
    ])
    expect(problemsOf({ ...newStudy(), name: 'K' })).toEqual([])
  })

  test('sends only the fields that were changed', () => {
    const kept = newStudy()
    const form = newStudy()
    expect(changeBetween(kept, form)).toEqual({})
    form.program = form.program.slice(0, 1)
    form.resist = 'K-15'
    expect(Object.keys(changeBetween(kept, form)).sort()).toEqual(['program', 'resist'])
  })

  test('takes its own fields out of a whole study and shares nothing with it', () => {
    const study = { ...newStudy(), id: 'x', simulated: false, factors: [], stages: [] }
    const input = inputOf(study as never)
    expect(Object.keys(input)).toEqual(Object.keys(newStudy()))
    input.program.pop()
    expect(study.program).toEqual(newStudy().program)
  })

  test('lots are separated by commas or semicolons', () => {
    expect(readLots(' A, B ;C,, ')).toEqual(['A', 'B', 'C'])
    expect(readLots('')).toEqual([])
  })

  test('a tool that is chosen brings its own limits', () => {
    const coater = {
      id: 'c',
      name: 'C2',
      maxRamp: null,
      maxSpeed: 2500,
      rampInside: true,
      speedStep: 10,
      limitsConfirmed: true,
    }
    const check = checkOfStudy({ ...newStudy(), coaterId: 'c' }, { coaters: [coater], hotPlates: [] })
    expect(check.findings.map(({ code, limit, limitConfirmed }) => [code, limit, limitConfirmed])).toEqual([
      ['speed', 2500, true],
    ])
  })
})

describe('the list of studies', () => {
  const study = (name: string, changedAt: string, archived = false) => ({
    id: name,
    name,
    question: 'Which speed gives 1500 nm?',
    targetNm: null,
    toleranceNm: null,
    thicknessUnit: 'nm' as const,
    simulated: false,
    archived,
    runsPlanned: 4,
    runsMeasured: 14,
    changedAt,
  })
  const all = [
    study('Lot check', '2026-01-01'),
    study('Spin curve', '2026-03-01'),
    study('Old', '2026-02-01', true),
  ]
  const found = (words: string, archived = false) =>
    findStudies(all, { words, archived }).map(({ name }) => name)

  test('stands with the newest change first; archived ones only on demand', () => {
    expect(found('')).toEqual(['Spin curve', 'Lot check'])
    expect(found('', true)).toEqual(['Spin curve', 'Old', 'Lot check'])
  })

  test('is searched by every word typed, in name and question, whatever the case', () => {
    expect(found('SPEED curve')).toEqual(['Spin curve'])
    expect(found('speed oven')).toEqual([])
  })

  test('counts runs that are read and those that are still to be read', () => {
    expect(runsInAll(all[0]!)).toBe(18)
  })
})

describe('a chosen file', () => {
  const textOf = async (...bytes: number[]) =>
    (await readFile(new File([new Uint8Array(bytes)], 'sweep.csv'))).text

  test('comes with its name and its text', async () => {
    expect(await readFile(new File(['t (µm)'], 'sweep.csv'))).toEqual({
      fileName: 'sweep.csv',
      text: 't (µm)',
    })
    expect(await textOf(0xef, 0xbb, 0xbf, 0x61)).toBe('a')
  })

  test('may be UTF-16, with its mark either way round, or without', async () => {
    expect(await textOf(0xff, 0xfe, 0xb5, 0x00, 0x6d, 0x00)).toBe('µm')
    expect(await textOf(0xfe, 0xff, 0x00, 0xb5, 0x00, 0x6d)).toBe('µm')
    expect(await textOf(0x6e, 0x00, 0x6d, 0x00)).toBe('nm')
  })

  test('or else one byte a character, where µ is B5 and Å is C5', async () => {
    expect(await textOf(0xb5, 0x6d, 0x20, 0xc5)).toBe('µm Å')
  })
})
