import { describe, expect, test } from 'vitest'
import type { FactorRole } from '../../../shared/contract/things.ts'
import { programOfRun } from '../../../shared/process/run-program.ts'
import { continuous } from '../design/examples.ts'

const study = {
  program: [
    { rpm: 500, ramp: 500, time: 5 },
    { rpm: 3250, ramp: 1000, time: 40 },
    { rpm: 0, ramp: 1000, time: 5 },
  ],
  bakeTemperature: 100,
  bakeTime: 60,
}
const factor = (name: string, role: FactorRole) => continuous(name, { role })
const factors = [
  factor('main speed', 'speed'),
  factor('spin', 'time'),
  factor('rate', 'ramp'),
  factor('plate', 'bake temperature'),
  factor('bake', 'bake time'),
  factor('volume', 'other'),
]

describe('the program of a run', () => {
  test('takes every number that a factor sets, in the segment that sets the thickness only', () => {
    const settings = { 'main speed': 2000, spin: 30, rate: 700, plate: 95, bake: 45, volume: 3 }
    expect(programOfRun({ study, factors, settings })).toEqual({
      program: [study.program[0], { rpm: 2000, ramp: 700, time: 30 }, study.program[2]],
      bakeTemperature: 95,
      bakeTime: 45,
    })
  })

  test('keeps the study’s own numbers where the run sets none, or no number', () => {
    expect(programOfRun({ study, factors, settings: {} })).toEqual(study)
    expect(programOfRun({ study, factors, settings: { spin: 'long' } })).toEqual(study)
    expect(programOfRun({ study, factors: [], settings: { 'main speed': 2000 } })).toEqual(study)
  })

  test('finds its segment in the study’s program, even where the run is slower than the spread', () => {
    const { program } = programOfRun({ study, factors, settings: { 'main speed': 400 } })
    expect(program.map((segment) => segment.rpm)).toEqual([500, 400, 0])
  })

  test('leaves the study alone', () => {
    const before = structuredClone(study)
    const { program } = programOfRun({ study, factors, settings: {} })
    for (const segment of program) segment.rpm = 1
    expect(study).toEqual(before)
  })
})
