import { describe, expect, test } from 'vitest'
import { factor, studyInput } from '../../../shared/contract/things.ts'
import { coater, gauge, hotPlate } from '../../../shared/contract/tools.ts'
import { summarizeFilm } from '../../../shared/film/summarize.ts'
import { checkProgram } from '../../../shared/process/check-program.ts'
import { demoScenario } from '../../../shared/process/demo-scenario.ts'
import { programOfRun } from '../../../shared/process/run-program.ts'

const demo = demoScenario()
const [sweep, lots] = demo.stages.map((stage) => stage.runs)
const runs = demo.stages.flatMap((stage) => stage.runs)
const filmOf = (run: (typeof runs)[number]) =>
  summarizeFilm({
    id: run.code,
    diameterMm: demo.study.diameterMm,
    edgeExclusionMm: demo.study.edgeExclusionMm,
    readings: run.readings.map((one) => ({ row: one.site + 1, x: one.xMm, y: one.yMm, value: one.valueNm })),
  })

describe('the demo study', () => {
  test('is what the contract takes', () => {
    expect(studyInput.safeParse(demo.study).error).toBeUndefined()
    expect(coater.omit({ id: true }).safeParse(demo.coater).error).toBeUndefined()
    expect(hotPlate.omit({ id: true }).safeParse(demo.hotPlate).error).toBeUndefined()
    expect(gauge.omit({ id: true }).safeParse(demo.gauge).error).toBeUndefined()
    for (const one of demo.factors) expect(factor.safeParse(one).error).toBeUndefined()
  })

  test('is called simulated', () => {
    expect(demo.study.name).toContain('simulated')
    expect(demo.study.notes).toContain('simulated')
  })

  test('sweeps a face-centred plan: eight corners, six faces, four centres', () => {
    const count = (kind: string) => sweep?.filter((run) => run.kind === kind).length
    expect([count('factorial'), count('star'), count('centre')]).toEqual([8, 6, 4])
    const settings = sweep?.map((run) => JSON.stringify(run.settings)) ?? []
    expect(new Set(settings).size).toBe(15)
  })

  test('keeps the plate at one temperature through each visit: 100, 90, 110, 100 °C', () => {
    const visits = [1, 2, 3, 4].map((visit) => [
      ...new Set(sweep?.filter((run) => run.plateVisit === visit).map((run) => run.settings.bake)),
    ])
    expect(visits).toEqual([[100], [90], [110], [100]])
    expect(sweep?.map((run) => run.plateVisit)).toEqual(sweep?.map((run) => run.plateVisit).sort())
  })

  test('coats the new lot beside the old one, old, new, new, old, on another day', () => {
    expect(lots?.map((run) => run.lot).join('')).toBe('ABBAABBAABBA')
    expect(lots?.map((run) => run.settings.speed)).toEqual([...Array(8).fill(3280), ...Array(4).fill(2500)])
    const days = demo.stages.map((stage) => [...new Set(stage.runs.map((run) => run.session))])
    expect(days).toEqual([['Day 1'], ['Day 2']])
  })

  test('every program is within the limits of its tools', () => {
    for (const run of runs) {
      const { program, bakeTemperature, bakeTime } = programOfRun({ ...demo, settings: run.settings })
      const check = checkProgram({
        segments: program,
        coater: demo.coater,
        diameterMm: demo.study.diameterMm,
        chuckMm: demo.study.chuckMm,
        bake: { temperature: bakeTemperature, time: bakeTime },
        hotPlate: demo.hotPlate,
      })
      expect(check.findings).toEqual([])
    }
  })

  test('every wafer has its own code and nine readings of a plausible film', () => {
    expect(new Set(runs.map((run) => run.code)).size).toBe(30)
    for (const run of runs) {
      expect(run.readings).toHaveLength(9)
      const film = filmOf(run)
      expect(film.excluded).toEqual([])
      expect(film.mean).toBeGreaterThan(1100)
      expect(film.mean).toBeLessThan(2300)
      expect(film.nonUniformity.halfRangeOverMean).toBeLessThan(1.6)
    }
  })

  test('the centre points lie near the target, and the new lot near its 1.8 % more', () => {
    for (const run of sweep?.filter((one) => one.kind === 'centre') ?? [])
      expect(Math.abs((filmOf(run).mean as number) - 1500)).toBeLessThan(45)
    const logMean = (lot: string) => {
      const means =
        lots?.filter((run) => run.lot === lot).map((run) => Math.log(filmOf(run).mean as number)) ?? []
      return means.reduce((sum, value) => sum + value, 0) / means.length
    }
    // Six and six wafers of 0.37 %: standard error of the difference 0.21 %.
    expect(Math.abs(logMean('B') - logMean('A') - 0.018)).toBeLessThan(4 * 0.0021)
  })

  test('non-uniformity over many studies is spread as the scenario says', () => {
    const seeds = Array.from({ length: 60 }, (_, i) => i + 1)
    const all = seeds.flatMap((seed) => demoScenario(seed).stages[0]?.runs ?? [])
    const sorted = all
      .map((run) => filmOf(run).nonUniformity.halfRangeOverMean as number)
      .sort((a, b) => a - b)
    const expected = { 0.05: 0.29, 0.25: 0.44, 0.5: 0.71, 0.75: 0.96, 0.95: 1.17 }
    for (const [share, percent] of Object.entries(expected)) {
      const found = sorted[Math.floor(Number(share) * sorted.length)] as number
      expect(Math.abs(found - percent)).toBeLessThan(0.06)
    }
  })

  test('the same seed gives the same study, another one another order and other readings', () => {
    expect(demoScenario()).toEqual(demo)
    expect(demoScenario(8).stages).not.toEqual(demo.stages)
  })
})
