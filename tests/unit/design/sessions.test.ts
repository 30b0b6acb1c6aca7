import { describe, expect, test } from 'vitest'
import type { DesignSettings, Factor } from '../../../shared/contract/things.ts'
import { makePlan } from '../../../shared/design/make-plan.ts'
import { referenceSettings } from '../../../shared/process/reference-settings.ts'
import { studyDefaults } from '../../../shared/study-defaults.ts'
import { bake, bench, categorical, continuous, fullDesign, speed, time } from './examples.ts'

const factors = [{ ...speed, levels: 3 }, time, bake]
const recipe = { speed: 3000, time: 40, bake: 100 }

function planOf(change: Partial<DesignSettings>, some: Factor[] = factors, slotHours: number | null = null) {
  const reference = Object.fromEntries(
    some.map(({ name }) => [name, recipe[name as keyof typeof recipe] ?? 0]),
  )
  const made = makePlan({
    factors: some,
    design: fullDesign(change),
    bench: { ...bench, slotHours },
    reference,
  })
  if (!made.ok) throw new Error(JSON.stringify(made.problems))
  return made.value
}

describe('runs spread over sessions', () => {
  test.each([2, 3])('%i sessions share the design evenly and each visits every temperature', (sessions) => {
    const plan = planOf({ sessions })
    const names = [...new Set(plan.runs.map((run) => run.session))]
    expect(names).toEqual(Array.from({ length: sessions }, (_, i) => `Session ${i + 1}`))
    for (const name of names) {
      const own = plan.runs.filter((run) => run.session === name)
      expect(own).toHaveLength(18 / sessions)
      expect(new Set(own.map((run) => run.settings.bake)).size).toBe(3)
      expect(new Set(own.map((run) => run.block)).size).toBe(1)
    }
    // Main effects are clear of the day: each level of speed as often in each session, as far as it divides.
    for (const level of [2000, 3000, 4500]) {
      const counts = names.map(
        (name) => plan.runs.filter((run) => run.session === name && run.settings.speed === level).length,
      )
      expect(Math.max(...counts) - Math.min(...counts)).toBeLessThanOrEqual(1)
    }
    expect(plan.timeline.sessions.map(({ session }) => session)).toEqual(names)
    expect(plan.orderInWords).toContain(`spread over ${sessions} sessions`)
    // The day takes a degree of freedom for each session after the first.
    const apart = planOf({}).evaluation.residualDf - plan.evaluation.residualDf
    expect(apart).toBe(sessions - 1)
  })

  test('blocks that cannot be dealt out evenly are refused with their column', () => {
    const made = makePlan({ factors, design: fullDesign({ sessions: 2, blocks: 3 }), bench })
    expect(made).toMatchObject({ ok: false, problems: [{ code: 'blocksOfSessions', column: 'blocks' }] })
    const plan = planOf({ sessions: 2, blocks: 4 })
    expect([1, 2, 3, 4].map((block) => plan.runs.find((run) => run.block === block)?.session)).toEqual([
      'Session 1',
      'Session 1',
      'Session 2',
      'Session 2',
    ])
  })

  test('a plan that says nothing of sessions leaves them open', () => {
    expect(new Set(planOf({}).runs.map((run) => run.session))).toEqual(new Set([null]))
  })
})

describe('reference wafers', () => {
  test.each([1, 2, 3])(
    'stand first and last in each of %i sessions, by the recipe, in a visit at its setting',
    (sessions) => {
      const plan = planOf({ sessions, reference: true })
      for (const { session, steps } of plan.timeline.sessions) {
        const own = plan.runs.filter((run) => run.session === session)
        expect(own.map((run) => run.kind === 'reference')).toEqual(
          own.map((_, i) => i === 0 || i === own.length - 1),
        )
        expect([own[0]?.settings, own.at(-1)?.settings]).toEqual([recipe, recipe])
        expect(steps.filter(({ kind }) => kind === 'coat')).toHaveLength(own.length)
      }
      const visits = plan.runs.map((run) => run.plateVisit as number)
      visits.forEach((visit, i) => {
        const [before, now] = [plan.runs[i - 1], plan.runs[i]]
        if (visit === visits[i - 1]) expect(now?.settings.bake).toBe(before?.settings.bake)
        else expect(visit).toBe((visits[i - 1] ?? 0) + 1)
      })
      expect(new Set(plan.runs.map((run) => run.standardOrder)).size).toBe(18 + 2 * sessions)
    },
  )

  test('count as runs at their settings in what the plan can tell', () => {
    const [without, with_] = [planOf({ sessions: 2 }), planOf({ sessions: 2, reference: true })]
    expect(with_.evaluation.residualDf - without.evaluation.residualDf).toBe(4)
    expect(with_.budget.substrates - without.budget.substrates).toBe(4)
  })

  test('follow the recipe of the study, and the middle where it says nothing', () => {
    const some = [
      speed,
      time,
      continuous('ramp', { role: 'ramp' }),
      bake,
      continuous('bake_time', { role: 'bake time' }),
      categorical('lot', ['A', 'B'], { role: 'lot' }),
      continuous('drip', { low: 2, high: 6 }),
      categorical('lid', ['open', 'closed']),
    ]
    expect(referenceSettings({ ...studyDefaults, lots: ['B', 'A'] }, some)).toEqual({
      speed: 3000,
      time: 40,
      ramp: 1000,
      bake: 100,
      bake_time: 60,
      lot: 'B',
      drip: 4,
      lid: 'open',
    })
    const none = { ...studyDefaults, program: [], lots: ['C'] }
    expect(referenceSettings(none, [speed, categorical('lot', ['A', 'B'], { role: 'lot' })])).toEqual({
      speed: 3000,
      lot: 'A',
    })
  })
})

describe('a setting visited twice where the hours booked allow it', () => {
  const temperatures = (plan: ReturnType<typeof planOf>) => {
    const visits = new Map(plan.runs.map((run) => [run.plateVisit, run.settings.bake]))
    return [...visits.values()]
  }

  test('is the middle one, first and last, with the reason and what it is worth', () => {
    const plan = planOf({}, factors, 5)
    const visits = temperatures(plan)
    expect(visits).toHaveLength(4)
    expect([visits[0], visits[3]]).toEqual([100, 100])
    expect(plan.orderInWords).toMatch(/visited twice, since the 5 h booked allow the \d+ min/)
    expect(plan.orderInWords).toContain('enough to notice a gross drift')
    expect(plan.orderInWords).toContain('not to test bake')
    expect(plan.timeline.sessions[0]?.over).toBe(0)
  })

  test('is not there where it does not fit, with the reason', () => {
    // 20 coats of 6 min, 18 readings of 4 min and 23 to 37 min for the plate; the repeat takes longer than 3.75 h.
    const plan = planOf({ visitOrder: 'cheapest' }, factors, 3.6)
    expect(temperatures(plan)).toEqual([90, 100, 110])
    expect(plan.orderInWords).toMatch(/No setting is visited twice: the \d+ min .* do not fit the 3.6 h/)
    expect(plan.waysToFit).toEqual([])
  })

  test.each([
    ['nothing is booked', {}, null],
    ['a number is stated', { visits: 3 }, 10],
    ['sessions come back to every setting', { sessions: 2 }, 10],
  ])('is left alone where %s', (_, change, slotHours) => {
    expect(planOf(change, factors, slotHours).orderInWords).not.toContain('visited twice')
  })
})
