import { describe, expect, test } from 'vitest'
import { extraFields, keptSettings, withoutUnseen } from '../../../renderer/screens/plan/design-fields.ts'
import {
  draftOf,
  freeName,
  newDesign,
  newFactor,
  stageStates,
  withKind,
  withRole,
} from '../../../renderer/screens/plan/draft.ts'
import { drawGrid, runsOfPlan } from '../../../renderer/screens/plan/grid-drawing.ts'
import { planHints } from '../../../renderer/screens/plan/plan-hints.ts'
import { designFieldOf, factorOf, otherProblems } from '../../../renderer/screens/plan/problem-places.ts'
import { factorRoles } from '../../../shared/contract/choices.ts'
import type { Run, Stage } from '../../../shared/contract/things.ts'
import { makePlan } from '../../../shared/design/make-plan.ts'
import type { BenchFigures } from '../../../shared/process/budget.ts'
import { studyDefaults } from '../../../shared/study-defaults.ts'

const speed = newFactor('speed', [])
const time = newFactor('time', [])
const bake = newFactor('bake temperature', [])
const bench: BenchFigures = {
  coatMl: 3.5,
  purgeMl: 10,
  dummies: 2,
  spares: 2,
  coatMinutes: 6,
  readMinutes: 5,
  siteMap: '9',
  slotHours: null,
  plateAtStart: 'set beforehand',
  bottleMl: null,
  holdBakeTemperature: 100,
  hotPlate: null,
}

describe('the factors that the plan starts with', () => {
  test('speed, time and bake make a grid of 3 × 2 × 3 that the engine takes', () => {
    const plan = makePlan({ factors: [speed, time, bake], design: newDesign(7), bench })
    expect(plan.ok && plan.value.runs.length).toBe(18)
  })

  test('the bake is hard to change, the speed is set on a log scale', () => {
    expect([bake.hardToChange, speed.hardToChange]).toEqual([true, false])
    expect([bake.scale, speed.scale]).toEqual(['linear', 'log'])
  })

  test('a lot takes the lots of the study as its levels', () => {
    expect(newFactor('lot', [], { lots: ['K1', 'K2'] })).toMatchObject({
      kind: 'categorical',
      levelNames: ['K1', 'K2'],
    })
    expect(newFactor('lot', [], { lots: ['K1'] }).levelNames).toEqual(['A', 'B'])
  })

  test('a new factor lies about the recipe of the study where that is another than usual', () => {
    const program = [
      { rpm: 500, ramp: 500, time: 5 },
      { rpm: 1500, ramp: 1000, time: 40 },
    ]
    const study = { program, bakeTemperature: 110, bakeTime: 120 }
    expect(newFactor('speed', [], study)).toMatchObject({ low: 1000, high: 2250 })
    expect(newFactor('time', [], study)).toMatchObject({ low: 20, high: 60 })
    expect(newFactor('bake temperature', [], study)).toMatchObject({ low: 100, high: 120 })
    expect(newFactor('bake time', [], study)).toMatchObject({ low: 90, high: 180 })
    expect(withRole(time, 'bake temperature', [], study)).toMatchObject({ low: 100, high: 120 })
    // A study that was left as it begins has the usual ranges.
    for (const role of factorRoles) expect(newFactor(role, [], studyDefaults)).toEqual(newFactor(role, []))
  })

  test('a speed takes the step of the chosen coater, other factors theirs', () => {
    const study = { coater: { speedStep: 25 } }
    expect(newFactor('speed', [], study).step).toBe(25)
    expect(withRole(time, 'speed', [], study).step).toBe(25)
    expect(newFactor('time', [], study).step).toBe(time.step)
    expect(newFactor('speed', [], { coater: null }).step).toBe(speed.step)
  })

  test('names are kept apart', () => {
    expect(freeName('speed', ['speed', 'speed_2'])).toBe('speed_3')
    expect(newFactor('speed', ['speed']).name).toBe('speed_2')
  })

  test('another role brings its unit and range, and leaves a name that was typed', () => {
    expect(withRole(speed, 'bake time', [], {})).toMatchObject({ name: 'bake_time', unit: 's' })
    expect(withRole({ ...speed, name: 'main spin' }, 'time', [], {})).toMatchObject({
      name: 'main spin',
      unit: 's',
    })
  })

  test('a factor by range turns into one by names and back', () => {
    const other = newFactor('other', [])
    const named = withKind(other, 'categorical')
    expect(named).toMatchObject({ low: null, high: null, levelNames: ['A', 'B'] })
    expect(withKind(named, 'continuous')).toEqual(other)
  })
})

describe('the draft of a plan', () => {
  const stage = (id: string, design: Stage['design']): Stage => ({
    id,
    position: 1,
    kind: design ? 'grid' : 'next',
    title: id,
    design,
    at: '',
  })

  test('goes on from the last stage that was designed', () => {
    const design = { ...newDesign(3), replicates: 2 }
    const study = {
      factors: [speed],
      stages: [stage('a', newDesign(1)), stage('b', design), stage('c', null)],
    }
    expect(draftOf(study, 99)).toEqual({ factors: [speed], design })
    expect(draftOf({ factors: [], stages: [] }, 99).design.seed).toBe(99)
  })

  test('does not share the arrays of the study', () => {
    const study = { factors: [newFactor('lot', [])], stages: [] }
    draftOf(study, 1).factors[0]?.levelNames.push('C')
    expect(study.factors[0]?.levelNames).toEqual(['A', 'B'])
  })

  test('a stage can be replaced only while no run of it was coated or read', () => {
    const run = (stageId: string, state: 'planned' | 'coated' | 'measured' | 'dropped', readings = 0) => ({
      stageId,
      state,
      readings,
    })
    const states = stageStates(
      [stage('a', null), stage('b', null), stage('c', null)],
      [
        run('a', 'planned'),
        run('a', 'planned'),
        run('b', 'planned', 1),
        run('c', 'measured', 9),
        run('c', 'dropped'),
      ],
    )
    expect(states.map(({ untouched }) => untouched)).toEqual([true, false, false])
    expect(states.map(({ runs, measured }) => [measured, runs])).toEqual([
      [0, 2],
      [0, 1],
      [1, 1],
    ])
  })
})

describe('settings of single kinds of design', () => {
  test('what is not asked for is not sent', () => {
    const design = { ...newDesign(1), star: 'face' as const, runs: 12, forbid: 'bake > 105' }
    expect(withoutUnseen(design, [speed])).toEqual({ ...newDesign(1), forbid: 'bake > 105' })
    expect(withoutUnseen({ ...design, kind: 'composite' }, [speed])).toMatchObject({ star: 'face' })
    expect(withoutUnseen({ ...design, kind: 'composite' }, [speed])).not.toHaveProperty('runs')
  })

  test('plate visits are asked for where a factor is hard to change', () => {
    expect(extraFields('full', [speed])).not.toContain('visits')
    expect(extraFields('full', [speed, bake])).toContain('visits')
  })

  test('runs are kept with the settings of the factors at hand, dropped ones are not', () => {
    const runs: Pick<Run, 'state' | 'settings'>[] = [
      { state: 'measured', settings: { speed: 3000, time: 40, lot: 'A' } },
      { state: 'dropped', settings: { speed: 2000, time: 40 } },
      { state: 'planned', settings: { time: 20 } },
    ]
    expect(keptSettings(runs, [speed, time])).toEqual([{ speed: 3000, time: 40 }])
  })
})

describe('where a problem is shown', () => {
  const factors = [speed, time]
  const problem = (column?: string) => ({
    code: 'x',
    message: 'm',
    ...(column === undefined ? {} : { column }),
  })

  test('by the name of the factor or its place in the arguments', () => {
    expect(factorOf(problem('time'), factors)).toBe(1)
    expect(factorOf(problem('factors.0.name'), factors)).toBe(0)
    expect(factorOf(problem('blocks'), factors)).toBe(-1)
  })

  test('by the field of the design', () => {
    expect(designFieldOf(problem('design.centre'))).toBe('centre')
    expect(designFieldOf(problem('blocks'))).toBe('blocks')
    expect(designFieldOf(problem('speed'))).toBe(null)
  })

  test('and whatever has no place of its own is said for the whole', () => {
    const all = [problem('speed'), problem('blocks'), problem(), problem('nowhere')]
    expect(otherProblems(all, factors)).toEqual([problem(), problem('nowhere')])
  })
})

describe('the drawing of the grid', () => {
  const drawn = (factors: (typeof speed)[], centre: number) => {
    const plan = makePlan({ factors, design: { ...newDesign(1), centre }, bench })
    if (!plan.ok) throw new Error(plan.problems[0]?.message)
    return drawGrid(plan.value.factors, runsOfPlan(plan.value.runs))
  }

  test('puts every combination at a place of its own, no mark over another', () => {
    const { marks } = drawn([speed, { ...time, levels: 3 }, bake], 0)
    expect(marks).toHaveLength(27)
    const gaps = marks.flatMap((one, i) =>
      marks.slice(i + 1).map((other) => Math.hypot(one.x - other.x, one.y - other.y)),
    )
    expect(Math.min(...gaps)).toBeGreaterThan(0.1)
  })

  test('counts runs at one place, and tells centre points apart', () => {
    const { marks } = drawn([speed, time], 3)
    expect(marks.filter((mark) => mark.kind === 'centre').map((mark) => mark.runs)).toEqual([3])
    expect(marks.filter((mark) => mark.kind === 'grid')).toHaveLength(6)
  })

  test('draws near marks last, so that they cover far ones', () => {
    const near = drawn([speed, time, bake], 0).marks.map((mark) => mark.near)
    expect(near).toEqual([...near].sort((a, b) => a - b))
  })

  test('a cube has twelve edges, three of them behind', () => {
    const { edges } = drawn([speed, time, bake], 0)
    expect([edges.length, edges.filter((edge) => edge.behind).length]).toEqual([12, 3])
  })

  test('spreads named levels evenly and says what it leaves out', () => {
    const lot = newFactor('lot', [], { lots: ['A', 'B', 'C'] })
    const { marks, leftOut } = drawn([lot, speed, time, bake], 0)
    expect(leftOut).toEqual(['bake'])
    expect(new Set(marks.map((mark) => mark.x.toFixed(3))).size).toBeGreaterThan(3)
    const line = drawn([lot], 0)
    expect(line.marks.map((mark) => mark.x).sort((a, b) => a - b)).toEqual([-1, 0, 1])
  })
})

describe('what the method advises on a plan', () => {
  const study = { targetNm: 1500, toleranceNm: 30 }
  const planned = (factors: (typeof speed)[], centre: number) => {
    const design = { ...newDesign(1), centre }
    const plan = makePlan({ factors, design, bench })
    return planHints({ factors, design }, plan.ok ? plan.value : null, study)
  }

  test('two levels without a centre point cannot show bend, nor can runs that are not repeated show scatter', () => {
    const two = { ...speed, levels: 2 }
    expect(planned([two, time], 0)).toEqual(['noCentre', 'noRepeats'])
    expect(planned([two, time], 3)).toEqual([])
    expect(planned([speed, time], 0)).toEqual(['noRepeats'])
  })

  test('a factor that is hard to change comes first, a target without a tolerance last', () => {
    const draft = { factors: [bake], design: newDesign(1) }
    expect(planHints(draft, null, { targetNm: 1500, toleranceNm: null })).toEqual([
      'hardToChange',
      'noTolerance',
    ])
    expect(planHints(draft, null, null)).toEqual(['hardToChange'])
  })
})
