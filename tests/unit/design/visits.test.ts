import { describe, expect, test } from 'vitest'
import type { DesignSettings, Factor } from '../../../shared/contract/things.ts'
import { makePlan } from '../../../shared/design/make-plan.ts'
import { bake, bench, fullDesign, speed, time } from './examples.ts'

const made = (change: Partial<DesignSettings>, factors: Factor[] = [speed, time, bake]) =>
  makePlan({ factors, design: fullDesign(change), bench })

function planOf(...args: Parameters<typeof made>) {
  const answer = made(...args)
  if (!answer.ok) throw new Error(JSON.stringify(answer.problems))
  return answer.value
}

const settingsOfVisits = (plan: ReturnType<typeof planOf>) =>
  [...new Set(plan.runs.map((run) => run.plateVisit))].map(
    (visit) => plan.runs.find((run) => run.plateVisit === visit)?.settings.bake,
  )

describe('more visits than settings', () => {
  test('a face-centred composite in four visits begins and ends in the middle, its centre points split', () => {
    const plan = planOf({ kind: 'composite', centre: 4, visits: 4 })
    const settings = settingsOfVisits(plan)
    expect([settings[0], settings[3]]).toEqual([100, 100])
    expect(settings.slice(1, 3).sort()).toEqual([110, 90])
    const sizes = [1, 2, 3, 4].map((visit) => plan.runs.filter((run) => run.plateVisit === visit).length)
    expect(sizes).toEqual([4, 5, 5, 4])
    const centres = plan.runs.filter((run) => run.kind === 'centre').map((run) => run.plateVisit)
    expect(centres).toEqual([1, 1, 4, 4])
    expect(plan.orderInWords).toContain('100 °C comes first and last')
    // Waiting between the visits: computed from the stated rates (common practice, no source).
    expect([47, 44]).toContain(Math.round(plan.budget.plateMinutes))
  })

  test('one more visit leaves one degree of freedom to test bake', () => {
    const effectOf = (visits: number | undefined) =>
      planOf({
        kind: 'composite',
        centre: 4,
        ...(visits === undefined ? {} : { visits }),
      }).evaluation.smallestDetectable.find((one) => one.term === 'bake')?.effect
    expect(effectOf(undefined)).toBeNull()
    expect(effectOf(4)).toBeGreaterThan(10)
    expect(effectOf(6)).toBeLessThan(effectOf(4) as number)
  })

  test('never the same setting twice in a row where another order exists', () => {
    for (let seed = 0; seed < 40; seed++) {
      const settings = settingsOfVisits(planOf({ visits: 6, replicates: 2, seed }))
      expect(settings).toHaveLength(6)
      settings.forEach((setting, i) => {
        expect(setting).not.toBe(settings[i - 1])
      })
    }
  })

  test('a number that cannot be had is refused', () => {
    const problem = (change: Partial<DesignSettings>, factors?: Factor[]) => {
      const answer = made(change, factors)
      return answer.ok ? null : answer.problems[0]
    }
    expect(problem({ visits: 2 })).toMatchObject({ code: 'tooFewVisits', column: 'visits' })
    expect(problem({ visits: 13 })).toMatchObject({ code: 'tooManyVisits', column: 'visits' })
    expect(problem({ visits: 3 }, [speed, time])).toMatchObject({ code: 'noHardFactor', column: 'visits' })
  })
})
